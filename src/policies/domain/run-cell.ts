import { compileWide } from './run-expression.js';
import { compileTest } from './run-tests.js';
import type { Cell, CellTest } from './syntax.js';
import type { WideLookup, WideValue } from './runs.js';
import { Unknown } from './values.js';

/** Whether a cell holds: yes, no, or not yet known. */
export type Holds = boolean | Unknown;
export type RunCell = (column: WideValue, lookup: WideLookup) => Holds;

/** Compiles a checked cell to a closure. A test that is neither true nor false (null has no order) does not hold, negated or not. */
export function compileCell(cell: Cell): RunCell {
  if (cell.kind === 'any') return () => true;
  const { negated } = cell;
  const words = wordsOf(cell.tests);
  if (words) return (column) => (column instanceof Unknown ? column : words.has(column) !== negated);
  const tests = cell.tests.map((test) => compileTest(test, compileWide));
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
function wordsOf(tests: readonly CellTest[]): ReadonlySet<WideValue> | undefined {
  const words = new Set<WideValue>();
  for (const test of tests) {
    if (test.kind !== 'equals' || test.value.kind !== 'text') return undefined;
    words.add(test.value.text);
  }
  return words;
}
