import type { CellTrace, ParameterUsed } from '../trace.contract.js';
import type { CompiledCell } from './compiled-table.js';
import { namesIn } from './constants.js';
import type { EvaluationRun } from './evaluation-run.js';
import type { ReadyTable } from './ready-decisions.js';
import { compileCell, type RunCell } from './run-cell.js';
import { Unknown, type Value } from './values.js';

/** What there is to say of a cell before any claim. */
interface CellFacts {
  /** Its alternatives, each to be run alone; none where the cell is one whole. */
  readonly alternatives: readonly { readonly run: RunCell; readonly from: number; readonly to: number }[];
  readonly parameters: readonly string[];
}

/** Kept as long as the policy is. */
const FACTS = new WeakMap<CompiledCell, CellFacts>();
const NONE: readonly never[] = [];

function factsOf(of: ReadyTable, cell: CompiledCell): CellFacts {
  const known = FACTS.get(cell);
  if (known) return known;
  const tests = cell.cell.kind === 'tests' && !cell.cell.negated ? cell.cell.tests : [];
  const names = namesIn([cell.cell, of.table.columns[cell.place]!.tree]);
  const fresh = {
    alternatives: tests.map((test) => ({
      run: compileCell({ kind: 'tests', negated: false, tests: [test] }),
      from: test.from,
      to: test.to,
    })),
    parameters: [...names].filter((name) => of.table.readsParameters.has(name)),
  };
  FACTS.set(cell, fresh);
  return fresh;
}

/** A cell with the value it met, and which of its alternatives held. */
export function traceCell(run: EvaluationRun, of: ReadyTable, cell: CompiledCell): CellTrace {
  const column = of.table.columns[cell.place]!;
  const fact = of.factOf(cell.place);
  const value: Value = fact === undefined ? column.run(run.lookup) : run.fact(fact, column.name!);
  const { alternatives, parameters } = factsOf(of, cell);
  const held = heldAlternative(alternatives, value, run);
  const holds = held ? true : cell.run(value, run.lookup);
  const span = held ?? (alternatives.length === 1 ? alternatives[0]! : { from: 0, to: cell.text.length });
  return {
    column: cell.column,
    expression: column.text,
    cell: cell.text,
    from: span.from,
    to: span.to,
    value: run.columnWritten(of, cell.place),
    holds: holds instanceof Unknown ? 'not known' : holds ? 'yes' : 'no',
    parameters: parameters.length === 0 ? NONE : parametersUsed(run, parameters),
  };
}

function heldAlternative(
  alternatives: CellFacts['alternatives'],
  value: Value,
  run: EvaluationRun,
): CellFacts['alternatives'][number] | undefined {
  for (const alternative of alternatives) if (alternative.run(value, run.lookup) === true) return alternative;
  return undefined;
}

/** Parameters by name as they are on the day of a run; those before their first date are left out. */
export function parametersUsed(run: EvaluationRun, names: Iterable<string>): ParameterUsed[] {
  return [...names].flatMap((name) => run.ready.parameters.on(name, run.day)?.used ?? []);
}
