import type { FindingPeriod, PolicyChange, PolicyDifference } from '../../analysis.contract.js';
import type { CompiledPolicy, PolicyDecision } from '../../policies.contract.js';
import { ClaimFinder, dayWithin } from './claim-finder.js';
import { changesOf, type DecisionPair } from './decision-changes.js';
import { TooLarge } from './cover.js';
import { documentSentences } from './document-changes.js';
import { periodsBetween, periodWords } from './periods.js';
import { policySpaces, type TableSource } from './policy-spaces.js';
import { sharedSpace } from './shared-space.js';

/** A version of a policy with its tables. */
export interface Version {
  readonly policy: CompiledPolicy;
  readonly tables: TableSource;
}

/** Steps that the comparison of one decision may take in one period. */
export const STEPS_OF_A_COMPARISON = 600_000;

/**
 * Everything in which two versions of a policy differ: for each decision that both make by a table, and for each parameter period of
 * either, the regions in which the outcome was one thing and becomes another, exactly; everything else in sentences. A decision is
 * compared by itself: what an earlier decision does differently is said there, and not again further down.
 */
export function diffPolicies(was: Version, becomes: Version, steps: number = STEPS_OF_A_COMPARISON): PolicyDifference {
  const sentences = documentSentences(was.policy.document, becomes.policy.document);
  const incomplete = new Set<string>();
  const found: { change: PolicyChange; place: number }[] = [];
  const periods = periodsBetween(was.policy.document, becomes.policy.document);
  const known = new Map<string, readonly PolicyChange[]>();
  for (const [place, period] of periods.entries()) {
    for (const pair of decisionPairs(was, becomes, period, steps)) {
      if (known.has(pair.key)) {
        found.push(...(known.get(pair.key) ?? []).map((change) => ({ change, place })));
        continue;
      }
      const result = compared(pair, period);
      if (typeof result === 'string') {
        incomplete.add(pair.decision.id);
        if (!sentences.includes(result)) sentences.push(result);
        continue;
      }
      known.set(pair.key, result);
      found.push(...result.map((change) => ({ change, place })));
    }
  }
  return { changes: joinedPeriods(found, periods), sentences, incomplete: [...incomplete] };
}

function compared(pair: Pair, period: FindingPeriod): readonly PolicyChange[] | string {
  const { id } = pair.decision;
  if ('incomparable' in pair.shared) {
    return `${id}: the column "${pair.shared.incomparable}" reads another kind of value, so the two tables were not compared.`;
  }
  try {
    return changesOf({ ...pair, shared: pair.shared });
  } catch (error) {
    if (!(error instanceof TooLarge)) throw error;
    return `${id}: the two tables differ in too many places to list them all (${periodWords(period)}).`;
  }
}

type Pair = Omit<DecisionPair, 'shared'> & {
  readonly shared: ReturnType<typeof sharedSpace>;
  /** Equal in periods in which both tables are the same. */
  readonly key: string;
};

function decisionPairs(was: Version, becomes: Version, period: FindingPeriod, steps: number): Pair[] {
  const on = dayWithin(period);
  const [before, after] = [was, becomes].map(({ policy, tables }) => policySpaces(policy.document, tables, period, on));
  if (!before || !after) return [];
  const finder = new ClaimFinder(becomes.policy, after, period, before.values());
  return becomes.policy.document.decisions.flatMap((decision): Pair[] => {
    const old = decisionOf(was, decision.id);
    const [left, right] = [before.get(decision.id), after.get(decision.id)];
    if (!old?.table || !decision.table || !left || !right) return [];
    const shared = sharedSpace({ space: left, rules: old.table.rules }, { space: right, rules: decision.table.rules });
    const key = JSON.stringify([decision.id, left.table, right.table, [...left.domain], [...right.domain]]);
    return [{ was: was.policy, becomes: becomes.policy, old, decision, shared, finder, steps, key }];
  });
}

function decisionOf({ policy }: Version, id: string): PolicyDecision | undefined {
  return policy.document.decisions.find((decision) => decision.id === id);
}

/** Changes that are the same in periods that follow each other are said once. */
function joinedPeriods(
  found: readonly { readonly change: PolicyChange; readonly place: number }[],
  periods: readonly FindingPeriod[],
): PolicyChange[] {
  const groups = new Map<string, { change: PolicyChange; first: number; last: number }[]>();
  for (const { change, place } of found) {
    const key = JSON.stringify([change.decision, change.detail]);
    const group = groups.get(key) ?? [];
    const last = group.at(-1);
    if (last && last.last === place - 1) last.last = place;
    else group.push({ change, first: place, last: place });
    groups.set(key, group);
  }
  return [...groups.values()].flat().map(({ change, first, last }) => {
    const [from, before] = [periods[first]?.from, periods[last]?.before];
    if (from === undefined && before === undefined) return change;
    if (first === 0 && last === periods.length - 1) return change;
    return {
      ...change,
      period: { ...(from === undefined ? {} : { from }), ...(before === undefined ? {} : { before }) },
    };
  });
}
