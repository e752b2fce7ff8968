import type { BrierParts, ReliabilityRow } from '../learning.contract.js';
import { shareOf } from './agreement.js';

export const BINS = 10;

interface Bin {
  cases: number;
  trueCases: number;
  forecasts: number;
  squares: number;
  forecastsOfTrue: number;
}

/**
 * Adds up binary forecasts one by one in bounded memory: ten bins of equal width over 0 to 1, the last with its upper end, each with
 * the few sums from which the Brier score and its parts follow exactly.
 */
export class BrierTally {
  private readonly bins: readonly Bin[] = Array.from({ length: BINS }, () => ({
    cases: 0,
    trueCases: 0,
    forecasts: 0,
    squares: 0,
    forecastsOfTrue: 0,
  }));

  /** @throws RangeError when the forecast is no probability */
  add(forecast: number, cameTrue: boolean): void {
    if (!(forecast >= 0 && forecast <= 1)) throw new RangeError('a forecast is a probability from 0 to 1');
    const bin = this.bins[Math.min(BINS - 1, Math.floor(forecast * BINS))];
    if (bin === undefined) return;
    bin.cases += 1;
    bin.forecasts += forecast;
    bin.squares += forecast * forecast;
    if (!cameTrue) return;
    bin.trueCases += 1;
    bin.forecastsOfTrue += forecast;
  }

  /** Brier score and its parts; undefined before the first forecast. */
  parts(): BrierParts | undefined {
    const total = this.bins.reduce((sum, { cases }) => sum + cases, 0);
    if (total === 0) return undefined;
    const base = this.bins.reduce((sum, { trueCases }) => sum + trueCases, 0) / total;
    let [score, reliability, resolution, withinBins] = [0, 0, 0, 0];
    for (const bin of this.bins) {
      if (bin.cases === 0) continue;
      const mean = bin.forecasts / bin.cases;
      const frequency = bin.trueCases / bin.cases;
      // (f - o)² summed, with o² = o.
      score += bin.squares - 2 * bin.forecastsOfTrue + bin.trueCases;
      reliability += bin.cases * (mean - frequency) ** 2;
      resolution += bin.cases * (frequency - base) ** 2;
      const variance = bin.squares - bin.forecasts * mean;
      const covariance = bin.forecastsOfTrue - bin.forecasts * frequency;
      withinBins += variance - 2 * covariance;
    }
    return {
      score: score / total,
      reliability: reliability / total,
      resolution: resolution / total,
      uncertainty: base * (1 - base),
      withinBins: withinBins / total,
    };
  }

  /** Bins that hold a forecast, from the lowest. */
  rows(): ReliabilityRow[] {
    return this.bins.flatMap(({ cases, trueCases, forecasts }, index) => {
      const cameTrue = shareOf(trueCases, cases);
      if (cameTrue === undefined) return [];
      return [{ from: index / BINS, to: (index + 1) / BINS, cases, meanForecast: forecasts / cases, cameTrue }];
    });
  }
}
