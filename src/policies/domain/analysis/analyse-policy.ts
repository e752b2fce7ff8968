import type { FindingPeriod, MoreFindings, PolicyAnalysis, PolicyFinding } from '../../analysis.contract.js';
import type { CompiledPolicy, OutcomeValue, PolicyDocument } from '../../policies.contract.js';
import { bitIndices } from '../bits.js';
import { ClaimFinder, dayWithin } from './claim-finder.js';
import { listed } from './column-words.js';
import { Budget } from './cover.js';
import type { DecisionSpace } from './decision-space.js';
import { factWords, type FindingDraft } from './finding-draft.js';
import { parametersRead, parametersWithoutValue } from './names-in-text.js';
import { periodsOf } from './periods.js';
import { policyFindings } from './policy-findings.js';
import { policySpaces, type TableSource } from './policy-spaces.js';
import { tableFindings, type TableFindings } from './table-findings.js';

/** Steps that the analysis of one table may take in one period; about two seconds of work. */
export const STEPS_OF_A_TABLE = 400_000;

const SEVERITIES = ['error', 'warning', 'information'] as const;

/**
 * Everything that can be said of a policy without a claim: cells that never hold, gaps, overlaps, masked and redundant rules, values
 * nobody gives or reads. Each parameter period is looked at by itself, and what is true in several that follow each other is said once.
 * @param tables makes a decision's table as it is on a day
 */
export function analyseTables(
  policy: CompiledPolicy,
  tables: TableSource,
  steps: number = STEPS_OF_A_TABLE,
): PolicyAnalysis {
  const { document } = policy;
  const known = new Map<string, TableFindings>();
  // The newest period first: what is true in several is shown by a claim of the newest.
  const looked = periodsOf(document)
    .toReversed()
    .map((period) => {
      const on = dayWithin(period);
      const spaces = policySpaces(document, tables, period, on);
      const finder = new ClaimFinder(policy, spaces, period);
      const found = [...spaces].map(([decision, space]) => {
        const isProven = parametersWithoutValue(document, decision, on).length === 0;
        const key = keyOf(document, decision, spaces);
        const now = known.get(key) ?? tableFindings({ document, space, finder, budget: new Budget(steps) });
        known.set(key, now);
        // Cells that wait for a parameter's first value are told once for the whole policy.
        const drafts = isProven ? now.drafts : now.drafts.filter(({ kind }) => kind !== 'not proven');
        return { decision, isProven, ...now, drafts };
      });
      return { period, spaces, found };
    });
  const findings = [
    ...acrossPeriods(document, looked),
    ...[...policyFindings(document, looked[0]?.spaces ?? new Map()), ...beforeFirstValue(document)].map((draft) => ({
      draft,
    })),
  ].map((each, place) => findingOf(policy, each, place));
  return {
    findings: sorted(document, findings),
    more: mostOf(looked.flatMap(({ found }) => found)),
    clean: findings.every(({ severity }) => severity === 'information'),
  };
}

/** One sentence on the time for which tables cannot be proven, because parameters that they read begin later. */
function beforeFirstValue(document: PolicyDocument): FindingDraft[] {
  const since = document.decisions.flatMap(({ id, table }) => {
    const dates = table
      ? parametersRead(document, id).map((name) => document.parameters[name]?.values[0]?.from ?? '')
      : [];
    const last = dates.toSorted().at(-1);
    return last === undefined ? [] : [`${id} before ${last}`];
  });
  if (since.length === 0) return [];
  const detail = `Rules that read a parameter are taken as possible while it has no value: ${listed(since, 'and')}.`;
  return [{ kind: 'not proven', severity: 'information', rules: [], detail }];
}

/** What a decision's findings depend on: its own table and those that it reads, each with what can occur. */
function keyOf(document: PolicyDocument, decision: string, spaces: ReadonlyMap<string, DecisionSpace>): string {
  const upTo = document.decisions.findIndex(({ id }) => id === decision);
  return document.decisions
    .slice(0, upTo + 1)
    .flatMap(({ id }) => {
      const space = spaces.get(id);
      if (!space || (id !== decision && !reads(document, spaces, decision, id))) return [];
      const { table, domain } = space;
      const accepts = table.rules.map((rule) => rule.accepts.map((bits) => bitIndices(bits).join()).join(';'));
      return [JSON.stringify([id, table.axes, accepts, [...domain], [...space.open]])];
    })
    .join('\n');
}

function reads(
  document: PolicyDocument,
  spaces: ReadonlyMap<string, DecisionSpace>,
  decision: string,
  earlier: string,
): boolean {
  const names = Object.keys(document.decisions.find(({ id }) => id === earlier)?.gives ?? {});
  const columns = spaces.get(decision)?.columns ?? [];
  return columns.some(({ axis }) => {
    if (axis.name !== undefined && names.includes(axis.name)) return true;
    const giver = document.decisions.find(({ gives }) => axis.name !== undefined && Object.hasOwn(gives, axis.name));
    return giver !== undefined && giver.id !== decision && reads(document, spaces, giver.id, earlier);
  });
}

interface Dated {
  readonly draft: FindingDraft;
  readonly period?: FindingPeriod;
}

interface Looked {
  readonly period: FindingPeriod;
  readonly found: readonly ({ readonly decision: string; readonly isProven: boolean } & TableFindings)[];
}

/**
 * Joins what is said in several periods. A rule for a span of days never holds outside it: there only what is so at all times counts.
 * @param looked the newest first
 */
function acrossPeriods(document: PolicyDocument, looked: readonly Looked[]): Dated[] {
  const groups = new Map<string, { draft: FindingDraft; places: number[] }>();
  for (const [place, { found }] of looked.entries()) {
    for (const draft of found.flatMap(({ drafts }) => drafts)) {
      const known = groups.get(keyOfDraft(document, draft));
      if (!known) groups.set(keyOfDraft(document, draft), { draft, places: [place] });
      else if (!known.places.includes(place)) known.places.push(place);
    }
  }
  return [...groups.values()].flatMap(({ draft, places }): Dated[] => {
    // A rule never holds only if it holds in no period; anything else is as good as always where it is so wherever it can be proven.
    const counts = looked.flatMap(({ found }, place) =>
      found.some(({ decision, isProven }) => decision === draft.decision && (isProven || draft.kind === 'never holds'))
        ? [place]
        : [],
    );
    if (draft.isSummary || counts.every((place) => places.includes(place))) return [{ draft }];
    if (isOfRule(draft) && dependsOnDay(document, draft)) return [];
    return stretchesOf(places).map(([newest, oldest]) => {
      const { from } = looked[oldest]?.period ?? {};
      const { before } = looked[newest]?.period ?? {};
      return {
        draft,
        period: { ...(from === undefined ? {} : { from }), ...(before === undefined ? {} : { before }) },
      };
    });
  });
}

function keyOfDraft(document: PolicyDocument, draft: FindingDraft): string {
  const { kind, decision, rules, detail } = draft;
  if (draft.isSummary) return JSON.stringify([kind, decision]);
  const ofRule = isOfRule(draft) && dependsOnDay(document, draft);
  return JSON.stringify(ofRule ? [kind, decision, rules[0]] : [kind, decision, rules, detail]);
}

function stretchesOf(places: readonly number[]): [number, number][] {
  const found: [number, number][] = [];
  for (const place of places) {
    const last = found.at(-1);
    if (last && last[1] === place - 1) last[1] = place;
    else found.push([place, place]);
  }
  return found;
}

function isOfRule({ kind }: FindingDraft): boolean {
  return ['never holds', 'masked', 'redundant', 'could be one'].includes(kind);
}

function dependsOnDay(document: PolicyDocument, { decision }: FindingDraft): boolean {
  const table = document.decisions.find(({ id }) => id === decision)?.table;
  return Object.values(table?.columns ?? {}).includes(document.governedBy);
}

function findingOf(policy: CompiledPolicy, { draft, period }: Dated, place: number): PolicyFinding {
  const { claim, expect, isSummary: _, ...said } = draft;
  const finding = period ? { ...said, period } : said;
  if (!claim) return finding;
  const decision = draft.decision ?? '';
  const ready = {
    id: `${decision} ${draft.kind} ${place + 1}`,
    on: claim.on,
    decisions: [decision],
    given: claim.given,
    expect: expect ?? expected(policy, decision, claim),
  };
  return { ...finding, example: { ...claim, words: factWords(claim.given) }, ready };
}

/** What the policy says today. */
function expected(
  policy: CompiledPolicy,
  decision: string,
  claim: NonNullable<FindingDraft['claim']>,
): Record<string, OutcomeValue> {
  const names = Object.keys(policy.document.decisions.find(({ id }) => id === decision)?.gives ?? {});
  const { outcomes } = policy.evaluate(claim.on, claim.given, [decision]);
  return Object.fromEntries(Object.entries(outcomes).filter(([name]) => names.includes(name)));
}

function sorted(document: PolicyDocument, findings: readonly PolicyFinding[]): PolicyFinding[] {
  const places = new Map(document.decisions.map(({ id }, place) => [id, place]));
  const place = ({ decision }: PolicyFinding): number => places.get(decision ?? '') ?? places.size;
  return findings.toSorted(
    (a, b) => SEVERITIES.indexOf(a.severity) - SEVERITIES.indexOf(b.severity) || place(a) - place(b),
  );
}

function mostOf(found: readonly ({ readonly decision: string } & TableFindings)[]): MoreFindings[] {
  const most = new Map<string, MoreFindings>();
  for (const { decision, more } of found) {
    for (const { kind, atLeast } of more) {
      const key = JSON.stringify([decision, kind]);
      if ((most.get(key)?.atLeast ?? 0) < atLeast) most.set(key, { decision, kind, atLeast });
    }
  }
  return [...most.values()];
}
