/**
 * Splits a whole number in proportion to weights by largest remainder (Hamilton's method), so that the parts sum to the
 * total exactly. Ties go to the earlier weight. A negative total mirrors the positive one.
 * @param total integer to split (minor units, basis points, pieces)
 * @param weights non-negative integers, at least one above zero
 * @throws RangeError when a weight is negative or not an integer, or all are zero.
 */
export function splitByWeight(total: number, weights: readonly (number | bigint)[]): number[] {
  if (!Number.isSafeInteger(total)) throw new RangeError('the total must be a safe integer');
  if (total < 0) return splitByWeight(-total, weights).map((part) => (part === 0 ? 0 : -part));
  const whole = weights.map((w) => BigInt(w));
  if (whole.some((w) => w < 0n)) throw new RangeError('a weight is negative');
  const sum = whole.reduce((a, b) => a + b, 0n);
  if (sum === 0n) throw new RangeError('all weights are zero');
  const parts = whole.map((w) => (BigInt(total) * w) / sum);
  const remainders = whole.map((w, index) => ({ index, rest: (BigInt(total) * w) % sum }));
  let left = BigInt(total) - parts.reduce((a, b) => a + b, 0n);
  remainders.sort((a, b) => (a.rest === b.rest ? a.index - b.index : a.rest > b.rest ? -1 : 1));
  for (const { index } of remainders) {
    if (left === 0n) break;
    parts[index] = (parts[index] ?? 0n) + 1n;
    left -= 1n;
  }
  return parts.map(Number);
}

/** Basis points in a whole. */
export const WHOLE_BP = 10_000;

/**
 * Probabilities (or any non-negative reals) as basis points that sum to 10,000 exactly, by largest remainder. Weights are taken
 * at a resolution of 1e-12, which is far below a basis point.
 */
export function toBasisPoints(weights: readonly number[]): number[] {
  return splitByWeight(
    WHOLE_BP,
    weights.map((w) => {
      if (!(w >= 0) || !Number.isFinite(w)) throw new RangeError('a weight must be a finite number of at least 0');
      return BigInt(Math.round(w * 1e12));
    }),
  );
}
