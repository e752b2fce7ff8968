/** Named rounding of exact ratios of integers. Binary floating point never takes part. */

export const ROUNDINGS = ['half up', 'half even', 'half down', 'down', 'up', 'ceiling', 'floor'] as const;
/** `half up` rounds ties away from zero; `down` is towards zero and `up` away from it. */
export type Rounding = (typeof ROUNDINGS)[number];

/**
 * Rounds numerator ÷ denominator to an integer.
 * @throws RangeError when the denominator is zero.
 */
export function divideRounded(numerator: bigint, denominator: bigint, rounding: Rounding): bigint {
  if (denominator === 0n) throw new RangeError('division by zero');
  const negative = numerator < 0n !== denominator < 0n;
  const n = numerator < 0n ? -numerator : numerator;
  const d = denominator < 0n ? -denominator : denominator;
  const whole = n / d;
  const rest = n % d;
  const magnitude = rest === 0n || !roundsAway(whole, rest, d, rounding, negative) ? whole : whole + 1n;
  return negative ? -magnitude : magnitude;
}

function roundsAway(whole: bigint, rest: bigint, d: bigint, rounding: Rounding, negative: boolean): boolean {
  const twice = rest * 2n;
  switch (rounding) {
    case 'half up':
      return twice >= d;
    case 'half down':
      return twice > d;
    case 'half even':
      return twice > d || (twice === d && whole % 2n === 1n);
    case 'down':
      return false;
    case 'up':
      return true;
    case 'ceiling':
      return !negative;
    case 'floor':
      return negative;
  }
}
