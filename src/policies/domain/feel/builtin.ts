import { isDecimal } from './decimal.js';
import { isList, kindOf, type Kind, type FeelValue } from './kinds.js';

/** One way to call a built-in function. */
interface Signature {
  readonly parameters: readonly Parameter[];
  /** True where the one parameter takes any number of values, as a list of them. */
  readonly rest: boolean;
  readonly run: (args: readonly FeelValue[]) => FeelValue;
}

interface Parameter {
  readonly name: string;
  /** Kinds that are taken; undefined for any, null among them. */
  readonly kinds: readonly Kind[] | undefined;
  readonly optional: boolean;
  readonly nullable: boolean;
}

/** A built-in function: called with values in order, or by the names of its parameters. Null where no signature fits. */
export class Builtin {
  private readonly signatures: Signature[] = [];

  constructor(readonly name: string) {}

  /**
   * Adds a way to call it.
   * @param text parameters as `name: kind|kind`, a `?` behind one that may be left out, `??` behind one that may also be null,
   *   `any` for every kind and null; `*name` alone takes any number of values
   */
  with(text: string, run: (args: readonly FeelValue[]) => FeelValue): this {
    const rest = text.startsWith('*');
    const parameters = text === '' ? [] : text.replace('*', '').split(', ').map(parameterOf);
    this.signatures.push({ parameters, rest, run });
    return this;
  }

  call(args: readonly FeelValue[], names?: readonly string[]): FeelValue {
    for (const signature of this.signatures) {
      const fitted = fit(signature, args, names);
      if (fitted) return signature.run(fitted);
    }
    return null;
  }
}

function parameterOf(text: string): Parameter {
  const [name = '', type = 'any'] = text.split(': ');
  const kinds = type.replace(/\?+$/, '');
  return {
    name,
    kinds: kinds === 'any' ? undefined : (kinds.split('|') as Kind[]),
    optional: type.endsWith('?'),
    nullable: type.endsWith('??') || kinds === 'any',
  };
}

function fit(
  signature: Signature,
  args: readonly FeelValue[],
  names?: readonly string[],
): readonly FeelValue[] | undefined {
  const { parameters, rest } = signature;
  if (names) return fitByName(parameters, args, names);
  if (rest) return args.length > 0 ? [[...args]] : undefined;
  if (args.length > parameters.length) return undefined;
  return fitInOrder(parameters, args);
}

function fitByName(
  parameters: readonly Parameter[],
  args: readonly FeelValue[],
  names: readonly string[],
): readonly FeelValue[] | undefined {
  if (new Set(names).size < names.length || names.some((name) => !parameters.some((p) => p.name === name))) {
    return undefined;
  }
  return fitInOrder(
    parameters,
    parameters.map(({ name }) => {
      const at = names.indexOf(name);
      return at < 0 ? undefined : (args[at] ?? null);
    }),
  );
}

function fitInOrder(
  parameters: readonly Parameter[],
  args: readonly (FeelValue | undefined)[],
): readonly FeelValue[] | undefined {
  const fitted: FeelValue[] = [];
  for (const [i, parameter] of parameters.entries()) {
    const arg = args[i];
    if (arg === undefined) {
      if (!parameter.optional) return undefined;
      fitted.push(null);
      continue;
    }
    const value = accepted(parameter, arg);
    if (value === undefined) return undefined;
    fitted.push(value);
  }
  return fitted;
}

/** The value as the parameter takes it: a list of one stands for its item, and an item for the list of it (DMN 1.5, 10.3.2.9.4). */
function accepted({ kinds, nullable }: Parameter, value: FeelValue): FeelValue | undefined {
  if (kinds === undefined) return value;
  if (value === null) return nullable ? null : undefined;
  if (kinds.includes(kindOf(value))) return value;
  if (isList(value) && value.length === 1) {
    const [only = null] = value;
    return only !== null && kinds.includes(kindOf(only)) ? only : undefined;
  }
  return kinds.length === 1 && kinds[0] === 'list' && !isList(value) ? [value] : undefined;
}

/** A whole number among the arguments, or undefined where it is none. */
export function whole(value: FeelValue | undefined): number | undefined {
  if (!isDecimal(value)) return undefined;
  const number = value.toNumber();
  return Number.isSafeInteger(number) && value.isInteger() ? number : undefined;
}
