import { compareKnown, compileExpression, type Lookup, type Run } from './run-expression.js';
import type { Cell, CellTest } from './syntax.js';
import { Unknown, unknownAmong, type Value } from './values.js';

/** Whether a cell holds: yes, no, or not yet known. */
export type Holds = boolean | Unknown;
export type RunCell = (column: Value, lookup: Lookup) => Holds;

/** Compiles a checked cell to a closure. A test that is neither true nor false (null has no order) does not hold, negated or not. */
export function compileCell(cell: Cell): RunCell {
  if (cell.kind === 'any') return () => true;
  const tests = cell.tests.map(compileTest);
  const { negated } = cell;
  return (column, lookup) => {
    const results: Value[] = [];
    for (const test of tests) {
      const result = test(lookup, column);
      if (result === true) return !negated;
      results.push(result);
    }
    const unknown = unknownAmong(results);
    if (unknown) return unknown;
    return negated && !results.includes(null);
  };
}

function compileTest(test: CellTest): Run {
  switch (test.kind) {
    case 'condition':
      return compileExpression(test.value);
    case 'equals':
      return compared('=', compileExpression(test.value));
    case 'compare':
      return compared(test.sign, compileExpression(test.value));
    case 'interval': {
      const low = compared(test.lowOpen ? '>' : '>=', compileExpression(test.low));
      const high = compared(test.highOpen ? '<' : '<=', compileExpression(test.high));
      return (lookup, column) => {
        const [above, below] = [low(lookup, column), high(lookup, column)];
        if (above === false || below === false) return false;
        return unknownAmong([above, below]) ?? (above === null || below === null ? null : true);
      };
    }
  }
}

function compared(sign: '<' | '<=' | '>' | '>=' | '=' | '!=', value: Run): Run {
  return (lookup, column = null) => {
    const other = value(lookup);
    if (column instanceof Unknown) return other instanceof Unknown ? column.and(other) : column;
    if (other instanceof Unknown) return other;
    return compareKnown(sign, column, other);
  };
}
