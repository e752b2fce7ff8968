import { compareKnown, compileExpression, type Lookup, type Run } from './run-expression.js';
import type { Cell, CellTest } from './syntax.js';
import { Unknown, unknownAmong, type Value } from './values.js';

/** Whether a cell holds: yes, no, or not yet known. */
export type Holds = boolean | Unknown;
export type RunCell = (column: Value, lookup: Lookup) => Holds;

/** Compiles a checked cell to a closure. A test that is neither true nor false (null has no order) does not hold, negated or not. */
export function compileCell(cell: Cell): RunCell {
  if (cell.kind === 'any') return () => true;
  const { negated } = cell;
  const words = wordsOf(cell.tests);
  if (words) return (column) => (column instanceof Unknown ? column : words.has(column) !== negated);
  const tests = cell.tests.map(compileTest);
  return (column, lookup) => {
    let unknown: Unknown | undefined;
    let unordered = false;
    for (const test of tests) {
      const result = test(lookup, column);
      if (result === true) return !negated;
      if (result instanceof Unknown) unknown = unknown ? unknown.and(result) : result;
      else if (result === null) unordered = true;
    }
    return unknown ?? (negated && !unordered);
  };
}

/** The words of a cell that only lists words (`damage, shortage`), the commonest kind; undefined for any other. */
function wordsOf(tests: readonly CellTest[]): ReadonlySet<Value> | undefined {
  const words = new Set<Value>();
  for (const test of tests) {
    if (test.kind !== 'equals' || test.value.kind !== 'text') return undefined;
    words.add(test.value.text);
  }
  return words;
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
