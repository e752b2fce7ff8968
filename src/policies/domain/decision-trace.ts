import type { DecisionTrace, ParameterUsed, RuleTrace } from '../trace.contract.js';
import { parametersUsed, traceCells } from './cell-trace.js';
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
  const overridden = table.hasExceptions ? overriddenAmong(of, candidates) : NONE;
  const rest = {
    masked: maskedAmong(of, candidates, result, overridden),
    overridden,
    possible: possibleAmong(run, of, candidates),
  };
  const { decision, hit } = table;
  if (result.kind !== 'decided') {
    return { decision, result: resultOf(result), hit, fired: NONE, ...rest, parameters: NONE };
  }
  const fired = firedRules(run, of, result.rules);
  const parameters = table.readsParameters.size === 0 ? NONE : parametersOf(fired);
  return { decision, result: 'decided', hit, outcomes: result.outcomes.written, fired, ...rest, parameters };
}

function maskedAmong(
  { table }: ReadyTable,
  candidates: readonly Candidate[],
  result: Decided,
  overridden: DecisionTrace['overridden'],
): readonly string[] {
  const decide = result.kind === 'decided' ? result.rules : NONE;
  let masked: string[] | undefined;
  for (const { place, unknown } of candidates) {
    if (unknown || decide.includes(place)) continue;
    const { id } = table.rules[place]!;
    if (!overridden.some(({ rule }) => rule === id)) (masked ??= []).push(id);
  }
  return masked ?? NONE;
}

function possibleAmong(
  run: EvaluationRun,
  { table }: ReadyTable,
  candidates: readonly Candidate[],
): DecisionTrace['possible'] {
  let possible: DecisionTrace['possible'][number][] | undefined;
  for (const { place, unknown } of candidates) {
    if (unknown) (possible ??= []).push({ rule: table.rules[place]!.id, facts: factsAwaited(run, unknown) });
  }
  return possible ?? NONE;
}

/** Every rule that holds or may hold; only as far as rows went, where an earlier decision was never asked. */
export function candidatesOf(run: EvaluationRun, of: ReadyTable): Candidate[] {
  const runner = of.on(run.day);
  if (of.reads.every((place) => run.decided[place])) return runner.allCandidates(run);
  return candidatesByRow(of.table, run.lookup, columnValues(of.table, run.lookup), runner.foregone);
}

function firedRules(run: EvaluationRun, of: ReadyTable, rules: readonly number[]): RuleTrace[] {
  if (rules.length === 0) {
    const { rule, because } = of.otherwiseFired;
    return [{ rule, ...(because === undefined ? {} : { because }), cells: NONE }];
  }
  return rules.map((place) => {
    const { decision: _, ...rule } = of.firedWithoutCells[place]!;
    return { ...rule, cells: traceCells(run, of, place, true) };
  });
}

function overriddenAmong({ table }: ReadyTable, candidates: readonly Candidate[]): DecisionTrace['overridden'] {
  const sure = candidates.filter(({ unknown }) => !unknown);
  const by = exceptionsThatHold(table, sure);
  return sure.flatMap(({ place }) =>
    (by.get(place) ?? []).map((exception) => ({ rule: table.rules[place]!.id, by: table.rules[exception.place]!.id })),
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
