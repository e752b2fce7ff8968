import { splitByWeight } from '../../kernel/shares.js';
import { REMEDIES, type Remedy } from '../../kernel/vocabulary.js';

/** An option as the choice sees it. */
export interface RankedOption {
  readonly remedy: Remedy;
  readonly admissible: boolean;
  /** 1 is best. */
  readonly rank: number;
  readonly expectedCostMinor: number;
}

/** The admissible option of lowest rank, then of lowest expected cost, then first in the order of REMEDIES. */
export function chooseRemedy<T extends RankedOption>(options: readonly T[]): T | undefined {
  return options
    .filter(({ admissible }) => admissible)
    .sort(
      (a, b) =>
        a.rank - b.rank ||
        a.expectedCostMinor - b.expectedCostMinor ||
        REMEDIES.indexOf(a.remedy) - REMEDIES.indexOf(b.remedy),
    )[0];
}

/** The remedy that ends the matter for every finding at once, when one finding calls for it: a refund before a unit. */
export function claimWideRemedy(chosen: readonly Remedy[]): 'refund' | 'unit' | undefined {
  if (chosen.includes('refund')) return 'refund';
  return chosen.includes('unit') ? 'unit' : undefined;
}

/**
 * Splits the cost of a remedy that covers several findings by what each finding's own choice was expected to cost; in equal parts
 * when those are all nothing. Expected costs below nothing weigh nothing. The parts sum to the total.
 */
export function costByFinding(totalMinor: number, ownExpectedMinor: readonly number[]): number[] {
  const weights = ownExpectedMinor.map((minor) => Math.max(0, minor));
  return splitByWeight(totalMinor, weights.some((weight) => weight > 0) ? weights : weights.map(() => 1));
}
