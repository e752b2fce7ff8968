import type { DecisionTrace, ParameterUsed, RuleTrace } from '../trace.contract.js';
import { parametersUsed, traceCell } from './cell-trace.js';
import type { Decided } from './compiled-table.js';
import type { EvaluationRun } from './evaluation-run.js';
import type { ReadyTable } from './ready-decisions.js';
import { candidatesByRow, columnValues, type Candidate } from './run-table.js';
import { exceptionsThatHold } from './settle-table.js';
import type { Unknown } from './values.js';

const NONE: readonly never[] = [];

/** How every decision of a run came about, in the order in which they were settled. */
export function traceOf(run: EvaluationRun): DecisionTrace[] {
  return [...run.order].map((place) => {
    const decision = run.ready.all[place]!;
    const result = run.decided[place]!;
    if ('table' in decision) return traceTable(run, decision.table, result);
    return {
      decision: decision.id,
      result: resultOf(result),
      expression: decision.text,
      ...(result.kind === 'decided' ? { outcomes: result.outcomes.written } : {}),
      fired: NONE,
      masked: NONE,
      overridden: NONE,
      possible: NONE,
      parameters: parametersUsed(run, decision.parameters),
    };
  });
}

function resultOf(result: Decided): DecisionTrace['result'] {
  return result.kind === 'open' ? 'needs' : result.kind;
}

function traceTable(run: EvaluationRun, of: ReadyTable, result: Decided): DecisionTrace {
  const { table } = of;
  const candidates = candidatesOf(run, of);
  const sure = candidates.filter(({ unknown }) => !unknown);
  const fired = result.kind === 'decided' ? firedRules(run, of, result.rules) : NONE;
  const decides = new Set(result.kind === 'decided' ? result.rules : NONE);
  const overridden = table.hasExceptions ? overriddenAmong(of, sure) : NONE;
  const gone = new Set(overridden.map(({ place }) => place));
  const masked = sure.filter(({ place }) => !decides.has(place) && !gone.has(place));
  return {
    decision: table.decision,
    result: resultOf(result),
    hit: table.hit,
    ...(result.kind === 'decided' ? { outcomes: result.outcomes.written } : {}),
    fired,
    masked: masked.length === 0 ? NONE : masked.map(({ place }) => table.rules[place]!.id),
    overridden: overridden.map(({ rule, by }) => ({ rule, by })),
    possible:
      sure.length === candidates.length
        ? NONE
        : candidates.flatMap(({ place, unknown }) =>
            unknown ? [{ rule: table.rules[place]!.id, facts: factsAwaited(run, unknown) }] : [],
          ),
    parameters: table.readsParameters.size === 0 ? NONE : parametersOf(fired),
  };
}

/** Every rule that holds or may hold; only as far as rows went, where an earlier decision was never asked. */
export function candidatesOf(run: EvaluationRun, of: ReadyTable): Candidate[] {
  const runner = of.on(run.day);
  if (of.reads.every((place) => run.decided[place])) return runner.allCandidates(run);
  return candidatesByRow(of.table, run.lookup, columnValues(of.table, run.lookup), runner.foregone);
}

function firedRules(run: EvaluationRun, of: ReadyTable, rules: readonly number[]): RuleTrace[] {
  const { table } = of;
  if (rules.length === 0) {
    const because = table.otherwise?.because;
    return [{ rule: 'otherwise', ...(because === undefined ? {} : { because }), cells: NONE }];
  }
  return rules.map((place) => {
    const { id, because, source, cells } = table.rules[place]!;
    return {
      rule: id,
      ...(because === undefined ? {} : { because }),
      ...(source === undefined ? {} : { source }),
      cells: cells.map((cell) => traceCell(run, of, cell)),
    };
  });
}

function overriddenAmong(
  { table }: ReadyTable,
  sure: readonly Candidate[],
): { place: number; rule: string; by: string }[] {
  const by = exceptionsThatHold(table, sure);
  return sure.flatMap(({ place }) =>
    (by.get(place) ?? []).map((exception) => ({
      place,
      rule: table.rules[place]!.id,
      by: table.rules[exception.place]!.id,
    })),
  );
}

/** Facts that an unknown waits for, also through earlier decisions. */
export function factsAwaited(run: EvaluationRun, unknown: Unknown): string[] {
  const facts = new Set(unknown.facts);
  for (const id of unknown.decisions) {
    const earlier = run.decided[run.ready.placeOf(id)];
    if (earlier?.kind === 'open') for (const fact of earlier.facts) facts.add(fact);
  }
  return [...facts];
}

function parametersOf(fired: readonly RuleTrace[]): ParameterUsed[] {
  const used = new Map<string, ParameterUsed>();
  for (const { cells } of fired) {
    for (const { parameters } of cells) for (const parameter of parameters) used.set(parameter.name, parameter);
  }
  return [...used.values()];
}
