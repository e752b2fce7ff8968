import type { CellTrace, ParameterUsed } from '../trace.contract.js';
import type { CompiledCell } from './compiled-table.js';
import { namesIn } from './constants.js';
import type { EvaluationRun } from './evaluation-run.js';
import type { ReadyTable } from './ready-decisions.js';
import { compileCell, type RunCell } from './run-cell.js';
import { Unknown, type Value } from './values.js';

/** A cell and what there is to say of it before any claim. */
interface KnownCell {
  readonly cell: CompiledCell;
  /** Its alternatives, each to be run alone; none where the cell is one whole. */
  readonly alternatives: readonly { readonly run: RunCell; readonly from: number; readonly to: number }[];
  readonly parameters: readonly string[];
}

const NONE: readonly never[] = [];
/** By rule of a table; kept as long as the policy is. */
const CELLS = new WeakMap<ReadyTable, (readonly KnownCell[] | undefined)[]>();

function cellsOf(of: ReadyTable, rule: number): readonly KnownCell[] {
  let table = CELLS.get(of);
  if (!table) CELLS.set(of, (table = []));
  return (table[rule] ??= of.table.rules[rule]!.cells.map((cell) => knownCell(of, cell)));
}

function knownCell(of: ReadyTable, cell: CompiledCell): KnownCell {
  const tests = cell.cell.kind === 'tests' && !cell.cell.negated ? cell.cell.tests : [];
  const names = namesIn([cell.cell, of.table.columns[cell.place]!.tree]);
  return {
    cell,
    alternatives: tests.map((test) => ({
      run: compileCell({ kind: 'tests', negated: false, tests: [test] }),
      from: test.from,
      to: test.to,
    })),
    parameters: [...names].filter((name) => of.table.readsParameters.has(name)),
  };
}

/**
 * The cells of a rule with the values they met, and which of their alternatives held.
 * @param holds whether all of them are known to hold
 */
export function traceCells(run: EvaluationRun, of: ReadyTable, rule: number, holds: boolean): CellTrace[] {
  const traces: CellTrace[] = [];
  for (const known of cellsOf(of, rule)) {
    traces.push(holds && known.alternatives.length < 2 ? heldWhole(run, of, known) : traceCell(run, of, known));
  }
  return traces;
}

function heldWhole(run: EvaluationRun, of: ReadyTable, known: KnownCell): CellTrace {
  const [only] = known.alternatives;
  return traceWith(run, of, known, {
    from: only ? only.from : 0,
    to: only ? only.to : known.cell.text.length,
    holds: 'yes',
  });
}

function traceCell(run: EvaluationRun, of: ReadyTable, known: KnownCell): CellTrace {
  const { cell, alternatives } = known;
  const value: Value = of.table.columns[cell.place]!.run(run.lookup);
  for (const { run: holdsFor, from, to } of alternatives) {
    if (holdsFor(value, run.lookup) === true) return traceWith(run, of, known, { from, to, holds: 'yes' });
  }
  const holds = cell.run(value, run.lookup);
  const [only] = alternatives.length === 1 ? alternatives : [];
  return traceWith(run, of, known, {
    from: only ? only.from : 0,
    to: only ? only.to : cell.text.length,
    holds: holds instanceof Unknown ? 'not known' : holds ? 'yes' : 'no',
  });
}

function traceWith(
  run: EvaluationRun,
  of: ReadyTable,
  { cell, parameters }: KnownCell,
  { from, to, holds }: Pick<CellTrace, 'from' | 'to' | 'holds'>,
): CellTrace {
  return {
    column: cell.column,
    expression: of.table.columns[cell.place]!.text,
    cell: cell.text,
    from,
    to,
    value: run.columnWritten(of, cell.place),
    holds,
    parameters: parameters.length === 0 ? NONE : parametersUsed(run, parameters),
  };
}

/** Parameters by name as they are on the day of a run; those before their first date are left out. */
export function parametersUsed(run: EvaluationRun, names: Iterable<string>): ParameterUsed[] {
  return [...names].flatMap((name) => run.ready.parameters.on(name, run.day)?.used ?? []);
}
