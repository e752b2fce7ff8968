import { Decimal, isDecimal } from './decimal.js';
import { Clock, Day, Elapsed, Moment, Months } from './temporal.js';

/** Every kind of value that an expression can have once nothing in it is open. */
export type FeelValue =
  | null
  | boolean
  | string
  | Decimal
  | Day
  | Clock
  | Moment
  | Elapsed
  | Months
  | Range
  | FeelFunction
  | readonly FeelValue[]
  | ReadonlyMap<string, FeelValue>;

/** A context: values by name, in the order in which they were written. */
export type Context = ReadonlyMap<string, FeelValue>;

/** The values between two ends, or those on one side of an end; `sign` tells how a range without `..` was written. */
export class Range {
  constructor(
    readonly low: FeelValue,
    readonly high: FeelValue,
    readonly bounds: { readonly lowOpen: boolean; readonly highOpen: boolean; readonly sign?: string },
  ) {}
}

/** A function as a value. Called with as many values as it has parameters. */
export class FeelFunction {
  constructor(
    /** Names of the parameters; of a built-in function undefined, as it may have several lists. */
    readonly parameters: readonly string[] | undefined,
    readonly call: (args: readonly FeelValue[], names?: readonly string[]) => FeelValue,
  ) {}
}

/** Names of the kinds, as a person would say them. */
export type Kind =
  | 'null'
  | 'boolean'
  | 'string'
  | 'number'
  | 'date'
  | 'time'
  | 'date and time'
  | 'days and time duration'
  | 'years and months duration'
  | 'range'
  | 'function'
  | 'list'
  | 'context';

/** The kind of a value. */
export function kindOf(value: FeelValue): Kind {
  if (value === null) return 'null';
  if (typeof value === 'boolean') return 'boolean';
  if (typeof value === 'string') return 'string';
  if (isDecimal(value)) return 'number';
  if (value instanceof Day) return 'date';
  if (value instanceof Clock) return 'time';
  if (value instanceof Moment) return 'date and time';
  if (value instanceof Elapsed) return 'days and time duration';
  if (value instanceof Months) return 'years and months duration';
  if (value instanceof Range) return 'range';
  if (value instanceof FeelFunction) return 'function';
  return isList(value) ? 'list' : 'context';
}

export function isList(value: unknown): value is readonly FeelValue[] {
  return Array.isArray(value);
}

export function isContext(value: unknown): value is Context {
  return value instanceof Map;
}
