import type { FeelValue } from './feel/kinds.js';
import type { Expression } from './syntax.js';
import { Unknown } from './values.js';

/** A value of any kind, or one not yet known. */
export type WideValue = FeelValue | Unknown;

/** Looks a fact, parameter or earlier outcome up; answers Unknown where it is not known. */
export type WideLookup = (name: string) => WideValue;

/** A compiled expression. `column` is the value of `?` in a cell. Total: arithmetic on null, or by zero, gives null. */
export type WideRun = (lookup: WideLookup, column?: WideValue) => WideValue;

/** The unknowns among some values joined, or undefined where all are known. */
export function unknownAmong(values: readonly WideValue[]): Unknown | undefined {
  let found: Unknown | undefined;
  for (const value of values) {
    if (value instanceof Unknown) found = found ? found.and(value) : value;
  }
  return found;
}

/** What compiles the expressions inside an expression. */
export type Compile = (expression: Expression) => WideRun;

/** Runs on known values only: an unknown among them keeps the result unknown. */
export function onKnown(runs: readonly WideRun[], work: (values: readonly FeelValue[]) => WideValue): WideRun {
  return (lookup, column) => {
    const values = runs.map((run) => run(lookup, column));
    // Safe: without an unknown among them, all are known.
    return unknownAmong(values) ?? work(values as readonly FeelValue[]);
  };
}

/** A lookup with more names, which hide those of the one around it. */
export function lookupWith(lookup: WideLookup, more: ReadonlyMap<string, WideValue>): WideLookup {
  return (name) => {
    const own = more.get(name);
    return own === undefined ? lookup(name) : own;
  };
}

/** Thrown where an evaluation would go on for too long; whoever runs the wide dialect takes it as null. */
export class TooLong extends RangeError {}
