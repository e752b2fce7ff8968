import { splitByWeight, toBasisPoints, WHOLE_BP } from '../../kernel/shares.js';
import { PARTIES, type Party } from '../../kernel/vocabulary.js';

/** One party's part of the whole, in basis points. */
export interface PartyShare {
  readonly party: Party;
  readonly bp: number;
}

/** Weights are compared at the resolution at which kernel/shares.ts splits, so that a share on the floor is not below it. */
const RESOLUTION = 1e12;

/** A presumption: one party answers for all of it. */
export function presumedShares(party: Party): PartyShare[] {
  return [{ party, bp: WHOLE_BP }];
}

/**
 * Shares by weight: weights of one party are added, parties below the floor are folded into the largest, and the rest is rounded
 * to basis points by largest remainder. Among equals the earlier in the order of PARTIES counts as the largest.
 * @param weights non-negative weights by party (sums of origin marginals); zero and missing weights drop out
 * @param floorBp 0 to 10,000
 * @returns shares that sum to 10,000 in the order of PARTIES, or an empty list when no weight is left.
 */
export function proportionalShares(
  weights: readonly { readonly party: Party; readonly weight: number }[],
  floorBp: number,
): PartyShare[] {
  const totals = new Map<Party, number>();
  for (const { party, weight } of weights) totals.set(party, (totals.get(party) ?? 0) + weight);
  const present = PARTIES.map((party) => ({ party, weight: totals.get(party) ?? 0 })).filter(
    ({ weight }) => Math.round(weight * RESOLUTION) > 0,
  );
  const largest = present.reduce<(typeof present)[number] | undefined>(
    (best, next) => (best === undefined || next.weight > best.weight ? next : best),
    undefined,
  );
  if (largest === undefined) return [];
  const sum = present.reduce((a, { weight }) => a + BigInt(Math.round(weight * RESOLUTION)), 0n);
  const small = present.filter(
    ({ party, weight }) =>
      party !== largest.party && BigInt(Math.round(weight * RESOLUTION)) * BigInt(WHOLE_BP) < BigInt(floorBp) * sum,
  );
  const kept = present
    .filter((share) => !small.includes(share))
    .map((share) =>
      share === largest
        ? { party: share.party, weight: share.weight + small.reduce((a, { weight }) => a + weight, 0) }
        : share,
    );
  const bps = toBasisPoints(kept.map(({ weight }) => weight));
  return kept.map(({ party }, index) => ({ party, bp: bps[index] ?? 0 })).filter(({ bp }) => bp > 0);
}

/** Splits a finding's cost over its shares by largest remainder, so that the amounts sum to the cost. No shares, no amounts. */
export function partyAmounts(
  costMinor: number,
  shares: readonly PartyShare[],
): { readonly party: Party; readonly amountMinor: number }[] {
  if (shares.length === 0) return [];
  const amounts = splitByWeight(
    costMinor,
    shares.map(({ bp }) => bp),
  );
  return shares.map(({ party }, index) => ({ party, amountMinor: amounts[index] ?? 0 }));
}
