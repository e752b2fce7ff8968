import { BUILTINS } from './feel/builtins.js';
import { FeelFunction, type FeelValue } from './feel/kinds.js';
import { fitType } from './feel/type-fit.js';
import { lookupWith, onKnown, type Compile, type WideRun } from './runs.js';
import type { Expression } from './syntax.js';
import { Unknown } from './values.js';

/** Built-in functions as values, so that `max = max` holds. */
const AS_VALUES = new Map(
  Array.from(BUILTINS.values(), (builtin) => [
    builtin.name,
    new FeelFunction(undefined, (args, names) => builtin.call(args, names)),
  ]),
);

/** A built-in function named without a call. */
export function builtinValue(name: string): WideRun {
  const value = AS_VALUES.get(name) ?? null;
  return () => value;
}

/** A function of the wide dialect. A value that is not of its parameter's type makes the result null. */
export function compileFunction(
  { parameters, body }: Extract<Expression, { kind: 'function' }>,
  compile: Compile,
): WideRun {
  const names = parameters.map(({ name }) => name);
  if (!body) return () => new FeelFunction(names, () => null);
  const run = compile(body);
  return (lookup, column) =>
    new FeelFunction(names, (args, given) => {
      const values = argumentsByName(names, args, given);
      if (!values) return null;
      const bound = new Map<string, FeelValue>();
      for (const [i, { name, type }] of parameters.entries()) {
        const value = values[i] ?? null;
        const fitted = type ? fitType(value, type) : value;
        if (fitted === null && value !== null) return null;
        bound.set(name, fitted);
      }
      const result = run(lookupWith(lookup, bound), column);
      return result instanceof Unknown ? null : result;
    });
}

/** Values in the order of the parameters; undefined where they are too many, too few or wrongly named. */
export function argumentsByName(
  parameters: readonly string[],
  args: readonly FeelValue[],
  names: readonly string[] | undefined,
): readonly FeelValue[] | undefined {
  if (args.length !== parameters.length) return undefined;
  if (!names) return args;
  const places = parameters.map((parameter) => names.indexOf(parameter));
  return places.includes(-1) ? undefined : places.map((place) => args[place] ?? null);
}

/** A call of whatever the callee is; null where that is no function. */
export function compileInvocation(
  { callee, args, names }: Extract<Expression, { kind: 'invocation' }>,
  compile: Compile,
): WideRun {
  return onKnown([callee, ...args].map(compile), ([called = null, ...values]) =>
    called instanceof FeelFunction ? called.call(values, names) : null,
  );
}
