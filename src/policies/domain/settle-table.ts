import type { CompiledTable, Decided, Outcomes } from './compiled-table.js';
import { gathered } from './gather-hits.js';
import { PolicyConflict } from './policy-conflict.js';
import type { Candidate } from './run-table.js';
import { Unknown } from './values.js';

/**
 * What a table comes to, given the rules that hold or may hold. Decided when everything that is still possible gives the same
 * outcomes; otherwise open, with the facts that matter, those that settle the most rules first.
 * @param candidates strongest first; where only the strongest counts none need follow the first sure one
 * @throws PolicyConflict where rules hold together that the table does not allow together
 */
export function settle(table: CompiledTable, candidates: readonly Candidate[]): Decided {
  const standing = table.hasExceptions ? withoutOverridden(table, candidates) : candidates;
  // With exceptions that may hold nothing may be sure, and yet one of them or of their bases is bound to decide.
  const someHolds = candidates.find(({ unknown }) => !unknown);
  switch (table.hit) {
    case 'first':
    case 'priority': {
      const sure = standing.findIndex(({ unknown }) => !unknown);
      return agreed(table, sure === -1 ? standing : standing.slice(0, sure + 1), someHolds);
    }
    case 'unique':
      refuseTwo(table, standing, () => true);
      return agreed(table, standing, someHolds);
    case 'any':
      refuseTwo(table, standing, (a, b) => a.key !== b.key);
      return agreed(table, standing, someHolds);
    case 'rule order':
    case 'output order':
    case 'collect':
      return gathered(table, standing) ?? openOn(standing);
  }
}

function refuseTwo(
  table: CompiledTable,
  standing: readonly Candidate[],
  clash: (a: Outcomes, b: Outcomes) => boolean,
): void {
  let first: Candidate | undefined;
  for (const candidate of standing) {
    if (candidate.unknown) continue;
    if (!first) {
      first = candidate;
      continue;
    }
    const [one, other] = [table.rules[first.place]!, table.rules[candidate.place]!];
    if (clash(one.outcomes, other.outcomes)) {
      throw new PolicyConflict(table.decision, [one.id, other.id], table.hit === 'any' ? 'differ' : 'two hold');
    }
  }
}

function agreed(table: CompiledTable, standing: readonly Candidate[], someHolds: Candidate | undefined): Decided {
  const sure = standing.find(({ unknown }) => !unknown) ?? someHolds;
  const anchor = sure ? table.rules[sure.place]!.outcomes : table.otherwise?.outcomes;
  if (anchor && standing.every(({ place }) => table.rules[place]!.outcomes.key === anchor.key)) {
    return { kind: 'decided', outcomes: anchor, rules: sure ? [sure.place] : [] };
  }
  return openOn(standing);
}

/** Open on whatever the candidates wait for; no rule where no fact would help. */
export function openOn(candidates: readonly Candidate[]): Decided {
  const facts = new Map<string, number>();
  const decisions = new Set<string>();
  for (const { unknown } of candidates) {
    if (!unknown) continue;
    for (const fact of unknown.facts) facts.set(fact, (facts.get(fact) ?? 0) + 1);
    for (const decision of unknown.decisions) decisions.add(decision);
  }
  if (facts.size === 0 && decisions.size === 0) return { kind: 'no rule' };
  // The sort is stable: facts that settle equally many rules keep the order in which the rules ask for them.
  const ordered = [...facts].toSorted((a, b) => b[1] - a[1]).map(([fact]) => fact);
  return { kind: 'open', facts: ordered, decisions: [...decisions] };
}

/**
 * Takes out every rule to which a sure exception holds; one to which an exception may hold is no longer sure itself.
 * @throws PolicyConflict where two exceptions to one rule hold with it, and neither gives way
 */
export function withoutOverridden(table: CompiledTable, candidates: readonly Candidate[]): Candidate[] {
  const by = exceptionsThatHold(table, candidates);
  const standing = candidates.flatMap((candidate): Candidate[] => {
    const exceptions = by.get(candidate.place) ?? [];
    if (exceptions.some(({ unknown }) => !unknown)) return [];
    let { unknown } = candidate;
    for (const exception of exceptions) unknown = joined(unknown, exception.unknown);
    return [{ place: candidate.place, unknown }];
  });
  const stands = new Set(standing.filter(({ unknown }) => !unknown).map(({ place }) => place));
  for (const candidate of candidates) {
    if (candidate.unknown) continue;
    const [one, other] = (by.get(candidate.place) ?? []).filter(({ place }) => stands.has(place));
    if (one && other) {
      const ids: readonly [string, string] = [table.rules[one.place]!.id, table.rules[other.place]!.id];
      throw new PolicyConflict(table.decision, ids, 'exceptions', table.rules[candidate.place]!.id);
    }
  }
  return standing;
}

function joined(a: Unknown | undefined, b: Unknown | undefined): Unknown | undefined {
  return a && b ? a.and(b) : (a ?? b);
}

/** For each rule the candidates that are exceptions to it. */
export function exceptionsThatHold(
  table: CompiledTable,
  candidates: readonly Candidate[],
): ReadonlyMap<number, readonly Candidate[]> {
  const by = new Map<number, Candidate[]>();
  for (const candidate of candidates) {
    for (const base of table.rules[candidate.place]!.overrides) {
      const known = by.get(base);
      if (known) known.push(candidate);
      else by.set(base, [candidate]);
    }
  }
  return by;
}
