import type { OutcomeValue } from '../policies.contract.js';
import type { CellTrace, RuleName, WhyNot, WhyNotRule } from '../trace.contract.js';
import { traceCells } from './cell-trace.js';
import { Outcomes } from './compiled-table.js';
import { candidatesOf } from './decision-trace.js';
import type { EvaluationRun } from './evaluation-run.js';
import { nearestChange } from './nearest-change.js';
import { readOutcome } from './outcome-values.js';
import type { ReadyTable } from './ready-decisions.js';
import type { Candidate } from './run-table.js';

/** An outcome by name, and the value it is asked about. */
export interface WantedOutcome {
  readonly name: string;
  readonly value: OutcomeValue;
}

/**
 * Why an outcome is not another value: each rule that would give it with what stands against it, and the nearest facts that would.
 * @param run a fresh run over the facts
 * @throws RangeError on an outcome that no decision gives or a value it cannot have
 */
export function whyNot(run: EvaluationRun, wanted: WantedOutcome): WhyNot {
  const place = decisionThatGives(run, wanted.name);
  const { id } = run.ready.all[place]!;
  const value = writtenAsTyped(run, id, wanted);
  const result = run.decide(place);
  const is = result.kind === 'decided' ? result.outcomes.written[wanted.name] : undefined;
  const decision = run.ready.all[place]!;
  const asked = { name: wanted.name, value };
  const found = 'table' in decision ? standingAgainst(run, decision.table, asked) : { rules: [], beforeOtherwise: [] };
  const already = is !== undefined && isSame(is, value);
  const nearest = already
    ? undefined
    : nearestChange(run, place, { ...asked, failing: factsFailing(run, found.rules) });
  return {
    decision: id,
    name: wanted.name,
    wanted: value,
    ...(is === undefined ? {} : { is }),
    rules: already ? [] : found.rules,
    beforeOtherwise: already ? [] : found.beforeOtherwise,
    ...(nearest ? { nearest: { changes: nearest } } : {}),
  };
}

/**
 * What stands against one rule, whatever it would give.
 * @param run a fresh run over the facts
 * @throws RangeError on a rule that no table of the policy has
 */
export function whyNotRule(run: EvaluationRun, { decision, rule }: RuleName): WhyNotRule {
  const place = run.ready.all.findIndex(({ id }) => id === decision);
  const of = run.ready.all[place];
  const row = of !== undefined && 'table' in of ? of.table.table.rules.findIndex(({ id }) => id === rule) : -1;
  if (of === undefined || !('table' in of) || row < 0)
    throw new RangeError(`the policy ${run.ready.document.id} has no rule "${rule}" in "${decision}"`);
  run.decide(place);
  return against(run, of.table, row, candidatesOf(run, of.table));
}

function decisionThatGives(run: EvaluationRun, name: string): number {
  const meaning = run.ready.names.get(name);
  if (meaning?.kind === 'outcome') return meaning.place;
  throw new RangeError(`no decision of the policy ${run.ready.document.id} gives "${name}"`);
}

/** The wanted value as outcomes are written, so that 10 and "10.00" are one. @throws RangeError */
function writtenAsTyped(run: EvaluationRun, decision: string, { name, value }: WantedOutcome): OutcomeValue {
  const gives = run.ready.document.decisions.find(({ id }) => id === decision)?.gives ?? {};
  const type = gives[name]!;
  const read = readOutcome(type, value);
  if ('wrong' in read) throw new RangeError(`outcome "${name}": ${read.wrong}`);
  return new Outcomes(new Map([[name, read.value]]), new Map([[name, type]])).written[name]!;
}

export function isSame(a: OutcomeValue, b: OutcomeValue): boolean {
  return a === b || JSON.stringify(a) === JSON.stringify(b);
}

function standingAgainst(
  run: EvaluationRun,
  of: ReadyTable,
  { name, value }: WantedOutcome,
): Pick<WhyNot, 'rules' | 'beforeOtherwise'> {
  const { table } = of;
  const candidates = candidatesOf(run, of);
  const gives = (written: Readonly<Record<string, OutcomeValue>>): boolean => {
    const given = written[name];
    if (given === undefined) return false;
    // A list is made of what the rules give, one element each.
    return isSame(given, value) || (Array.isArray(value) && value.some((item) => isSame(given, item)));
  };
  const rules = table.precedence
    .filter((place) => gives(table.rules[place]!.outcomes.written))
    .map((place) => against(run, of, place, candidates));
  const standsBefore = table.otherwise !== undefined && gives(table.otherwise.outcomes.written);
  return {
    rules: rules.toSorted((a, b) => a.failing.length - b.failing.length),
    beforeOtherwise: standsBefore ? candidates.map(({ place }) => table.rules[place]!.id) : [],
  };
}

function against(run: EvaluationRun, of: ReadyTable, place: number, candidates: readonly Candidate[]): WhyNotRule {
  const { table } = of;
  const { id, because, source } = table.rules[place]!;
  const failing = traceCells(run, of, place, false).filter(({ holds }) => holds !== 'yes');
  const holding = candidates.filter((other) => !other.unknown && other.place !== place);
  const rank = table.precedence.indexOf(place);
  const strongest = table.hit === 'first' || table.hit === 'priority';
  const overrides = (other: Candidate): boolean => table.rules[other.place]!.overrides.includes(place);
  const isBase = (other: Candidate): boolean => table.rules[place]!.overrides.includes(other.place);
  const stronger = holding.filter(
    (other) => strongest && table.precedence.indexOf(other.place) < rank && !overrides(other) && !isBase(other),
  );
  return {
    rule: id,
    ...(because === undefined ? {} : { because }),
    ...(source === undefined ? {} : { source }),
    failing,
    maskedBy: stronger.map((other) => table.rules[other.place]!.id),
    overriddenBy: holding.filter(overrides).map((other) => table.rules[other.place]!.id),
  };
}

/** Facts of the cells that fail, those of the nearest rules first. */
function factsFailing(run: EvaluationRun, rules: readonly { readonly failing: readonly CellTrace[] }[]): string[] {
  const names = rules.flatMap(({ failing }) => failing.map(({ expression }) => expression));
  return [...new Set(names)].filter((name) => run.ready.names.get(name)?.kind === 'fact');
}
