import { LARGEST, MODES, type LumaHistogram } from './jpeg-luma.js';

/** Fewer counted coefficients than this in a mode say nothing. */
const LEAST_COUNTS = 400;
/** Modes that must have enough to say something. */
const LEAST_MODES = 3;

/**
 * How ragged the histograms of quantised coefficients are. Compressing once gives a smooth fall; compressing a second time with other
 * steps leaves gaps and peaks at regular distances. Per mode the sum of |h(k) − geometric mean of its neighbours| over all, averaged
 * over the modes that have enough; 0 is smooth. The geometric mean is right for the geometric fall that a single compression gives
 * at any quality; with the arithmetic mean a coarse single compression looked like a second one. Undefined when the picture has too
 * little texture to tell.
 */
export function histogramRaggedness({ counts }: LumaHistogram): number | undefined {
  const scores: number[] = [];
  for (let mode = 0; mode < MODES; mode += 1) {
    const bars = counts.subarray(mode * (LARGEST + 1) + 1, (mode + 1) * (LARGEST + 1));
    const sum = bars.reduce((total, count) => total + count, 0);
    if (sum >= LEAST_COUNTS) scores.push(raggedness(bars, sum));
  }
  return scores.length < LEAST_MODES ? undefined : scores.reduce((sum, score) => sum + score, 0) / scores.length;
}

function raggedness(bars: Uint32Array, sum: number): number {
  let off = 0;
  for (let k = 1; k + 1 < bars.length; k += 1) {
    const [before = 0, here = 0, after = 0] = bars.subarray(k - 1, k + 2);
    off += Math.abs(here - Math.sqrt(before * after));
  }
  return off / sum;
}
