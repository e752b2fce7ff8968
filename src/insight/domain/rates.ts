import type { Rate } from '../insight.contract.js';

/** Two-sided 95 % quantile of the normal distribution. */
const Z = 1.959963984540054;

/**
 * Claims per units delivered with a 95 % Wilson score interval (Wilson 1927), which stays inside 0 and 1 for small counts.
 * @returns undefined when nothing was delivered: no rate can be said.
 * @throws RangeError when the count is not within 0 and the number delivered.
 */
export function rateOf(count: number, of: number): Rate | undefined {
  if (!Number.isInteger(count) || !Number.isInteger(of) || count < 0 || count > of)
    throw new RangeError('a count must lie between 0 and the number delivered');
  if (of === 0) return undefined;
  const p = count / of;
  const denominator = 1 + (Z * Z) / of;
  const centre = (p + (Z * Z) / (2 * of)) / denominator;
  const half = (Z / denominator) * Math.sqrt((p * (1 - p)) / of + (Z * Z) / (4 * of * of));
  return {
    count,
    of,
    rate: p,
    low: count === 0 ? 0 : Math.max(0, centre - half),
    high: count === of ? 1 : Math.min(1, centre + half),
  };
}
