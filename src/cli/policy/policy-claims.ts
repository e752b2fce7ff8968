import { countClaims, changeTest, type Region } from '../../policies/analysis.contract.js';
import type { PolicyChange } from '../../policies/analysis.contract.js';
import type { CompiledPolicy, Facts } from '../../policies/policies.contract.js';
import { bad, good, type Outcome } from '../../kernel/outcome.js';
import { readJsonLines } from '../json-lines.js';
import type { Io } from '../verb.js';

/** Facts of a past claim with the day whose parameters held for it. */
export interface PastClaim {
  readonly on: string;
  readonly facts: Facts;
}

/** Past claims, one JSON object a line: `{"on":"2026-03-01","facts":{…}}`. @throws BadInput at the first line that is none */
export async function readClaims(file: string, io: Io): Promise<PastClaim[]> {
  const claims: PastClaim[] = [];
  for await (const claim of readJsonLines(file, readClaim, io)) claims.push(claim);
  return claims;
}

function readClaim(json: unknown): Outcome<PastClaim> {
  const { on, facts } = (typeof json === 'object' && json !== null ? json : {}) as Partial<Record<string, unknown>>;
  if (typeof on === 'string' && typeof facts === 'object' && facts !== null) return good({ on, facts: facts as Facts });
  return bad({ pointer: '#', detail: 'A past claim is an object of "on" (a date) and "facts" (an object).' });
}

/** Things found with how many of the claims lie in each, those with the most first where the claims tell. */
export function withClaims<T extends Region>(
  policy: CompiledPolicy,
  found: readonly T[],
  claims: readonly PastClaim[] | undefined,
): (T & { recentClaims?: number })[] {
  if (!claims) return [...found];
  const counts = countClaims(policy, found, claims);
  return found.map((each, place) => (each.region ? { ...each, recentClaims: counts[place] ?? 0 } : each));
}

/** Changes with how many of the claims lie in each, those with the most first. */
export function changesByClaims(
  was: CompiledPolicy,
  becomes: CompiledPolicy,
  changes: readonly PolicyChange[],
  claims: readonly PastClaim[] | undefined,
): readonly PolicyChange[] {
  if (!claims) return changes;
  const counted = changes.map((change) => {
    const test = changeTest(was, becomes, change);
    return { ...change, recentClaims: claims.filter(({ on, facts }) => test(on, facts)).length };
  });
  return counted.toSorted((a, b) => b.recentClaims - a.recentClaims);
}
