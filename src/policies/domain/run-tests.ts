import { compareKnown, meets, type ComparisonSign } from './feel/compare.js';
import { unknownAmong, type Compile, type WideRun } from './runs.js';
import type { CellTest } from './syntax.js';
import { Unknown } from './values.js';

/** Compiles one test of a cell, or of what stands after `in`, to a closure over the value of the column. */
export function compileTest(test: CellTest, compile: Compile): WideRun {
  switch (test.kind) {
    case 'condition':
      return compile(test.value);
    case 'equals':
      return compileEquals(compile(test.value));
    case 'compare':
      return compared(test.sign, compile(test.value));
    case 'interval': {
      const low = compared(test.lowOpen ? '>' : '>=', compile(test.low));
      const high = compared(test.highOpen ? '<' : '<=', compile(test.high));
      return (lookup, column) => {
        const [above, below] = [low(lookup, column), high(lookup, column)];
        if (above === null || below === null) return unknownAmong([above, below]) ?? null;
        if (above === false || below === false) return false;
        return unknownAmong([above, below]) ?? true;
      };
    }
  }
}

/** A value alone is met by an equal one, a list by one of its items, a range by what lies in it. */
function compileEquals(value: WideRun): WideRun {
  return (lookup, column = null) => {
    const other = value(lookup, column);
    if (column instanceof Unknown) return other instanceof Unknown ? column.and(other) : column;
    return other instanceof Unknown ? other : meets(column, other);
  };
}

function compared(sign: ComparisonSign, value: WideRun): WideRun {
  return (lookup, column = null) => {
    const other = value(lookup);
    if (column instanceof Unknown) return other instanceof Unknown ? column.and(other) : column;
    if (other instanceof Unknown) return other;
    return compareKnown(sign, column, other);
  };
}
