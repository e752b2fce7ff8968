import type { FactType, OutcomeValue } from '../policies.contract.js';
import { equal, order } from './feel/compare.js';
import { Decimal, isDecimal } from './feel/decimal.js';
import { Day } from './feel/temporal.js';

export { Day, Decimal, order };

/**
 * Not yet known, which is different from null (known to be absent). Says why: facts that nobody gave, earlier decisions that
 * are open, or `stuck` where no fact would help (a parameter before its first date, an earlier decision without a rule).
 */
export class Unknown {
  constructor(
    readonly facts: ReadonlySet<string>,
    readonly decisions: ReadonlySet<string>,
    readonly stuck: boolean,
  ) {}

  static fact(name: string): Unknown {
    return new Unknown(new Set([name]), new Set(), false);
  }

  static decision(id: string): Unknown {
    return new Unknown(new Set(), new Set([id]), false);
  }

  static readonly STUCK = new Unknown(new Set(), new Set(), true);

  and(other: Unknown): Unknown {
    if (this === other) return this;
    return new Unknown(
      new Set([...this.facts, ...other.facts]),
      new Set([...this.decisions, ...other.decisions]),
      this.stuck || other.stuck,
    );
  }
}

/** What facts, parameters, columns and outcomes can be. */
export type Known = null | boolean | string | Decimal | Day;
export type Value = Known | Unknown;

/** The unknowns among some values joined, or undefined where all are known. */
export function unknownAmong(values: readonly Value[]): Unknown | undefined {
  let found: Unknown | undefined;
  for (const value of values) {
    if (value instanceof Unknown) found = found ? found.and(value) : value;
  }
  return found;
}

/** Whether two values are equal: values of different kinds never are; null equals only null. */
export function sameValue(a: Known, b: Known): boolean {
  return equal(a, b) === true;
}

/** Reads a number as it travels: whole numbers as JSON numbers, decimals as text of at most 34 digits. */
export function readNumber(value: unknown): Decimal | undefined {
  if (typeof value === 'number') return Number.isSafeInteger(value) ? new Decimal(value) : undefined;
  if (typeof value !== 'string' || !/^-?\d{1,34}(\.\d{1,33})?$/.test(value)) return undefined;
  const number = new Decimal(value);
  return number.precision() <= 34 ? number : undefined;
}

/**
 * Reads a value of a declared type.
 * @returns the value, or a sentence that says why it is not of that type
 */
export function readTyped(type: FactType, value: unknown): { value: Known } | { wrong: string } {
  if (value === null) return type.optional ? { value: null } : { wrong: 'null is only for facts declared optional' };
  switch (type.type) {
    case 'enum':
      if (typeof value === 'string' && type.values.includes(value)) return { value };
      return { wrong: `${JSON.stringify(value)} is not one of ${type.values.join(', ')}` };
    case 'boolean':
      return typeof value === 'boolean' ? { value } : { wrong: `${JSON.stringify(value)} is not true or false` };
    case 'text':
      return typeof value === 'string' ? { value } : { wrong: `${JSON.stringify(value)} is not text` };
    case 'date': {
      const day = typeof value === 'string' ? Day.parse(value) : undefined;
      return day ? { value: day } : { wrong: `${JSON.stringify(value)} is not a date like 2026-03-01` };
    }
    case 'integer':
    case 'decimal':
      return readTypedNumber(type, value);
  }
}

function readTypedNumber(
  type: Extract<FactType, { type: 'integer' | 'decimal' }>,
  value: unknown,
): { value: Known } | { wrong: string } {
  const shown = JSON.stringify(value);
  if (type.type === 'integer' && typeof value !== 'number') return { wrong: `${shown} is not a whole number` };
  const number = readNumber(value);
  if (!number) {
    return {
      wrong:
        type.type === 'integer'
          ? `${shown} is not a whole number`
          : `${shown} is not a decimal; write it as text with a point, like "899.90"`,
    };
  }
  const wrong = numberFault(type, number);
  return wrong === undefined ? { value: number } : { wrong };
}

/** Why a number is outside its declared type, in words; undefined where it is inside. */
function numberFault(type: Extract<FactType, { type: 'integer' | 'decimal' }>, number: Decimal): string | undefined {
  const shown = number.toFixed();
  if (type.type === 'integer' && !number.isInteger()) return `${shown} is not a whole number`;
  if (type.type === 'integer' && !Number.isSafeInteger(number.toNumber()))
    return `${shown} is too large to keep exactly`;
  const [min, max] = [readNumber(type.min), readNumber(type.max)];
  if (min && number.lessThan(min)) return `${shown} is below ${type.min}`;
  if (max && number.greaterThan(max)) return `${shown} is above ${type.max}`;
  if (type.type === 'decimal' && type.scale !== undefined && number.decimalPlaces() > type.scale) {
    return `${shown} has more than ${type.scale} digits after the point`;
  }
  return undefined;
}

/** Why the result of an expression is outside its declared type; undefined where it is inside. Kinds were checked before. */
export function resultFault(type: FactType, value: Known): string | undefined {
  if (isDecimal(value) && (type.type === 'integer' || type.type === 'decimal')) return numberFault(type, value);
  if (type.type === 'enum' && typeof value === 'string' && !type.values.includes(value)) {
    return `${JSON.stringify(value)} is not one of ${type.values.join(', ')}`;
  }
  return undefined;
}

/** A value as it travels: decimals as plain text, whole numbers of integer type as numbers, dates as ISO text. */
export function writeValue(value: Known, integer: boolean): Extract<OutcomeValue, string | number | boolean | null> {
  if (isDecimal(value)) return integer ? value.toNumber() : value.toFixed();
  return value instanceof Day ? value.toString() : value;
}
