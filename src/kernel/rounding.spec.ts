import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { divideRounded, ROUNDINGS, type Rounding } from './rounding.js';

// The rounding-direction attributes of IEEE 754 and of general decimal arithmetic; half up is away from zero on ties.
// Values computed with the decimal module of Python's standard library.
const TABLE: readonly (readonly [string, bigint, bigint, readonly number[]])[] = [
  // ratio, numerator, denominator, half up / half even / half down / down / up / ceiling / floor
  ['0.5', 1n, 2n, [1, 0, 0, 0, 1, 1, 0]],
  ['1.5', 3n, 2n, [2, 2, 1, 1, 2, 2, 1]],
  ['2.5', 5n, 2n, [3, 2, 2, 2, 3, 3, 2]],
  ['-0.5', -1n, 2n, [-1, 0, 0, 0, -1, 0, -1]],
  ['-1.5', -3n, 2n, [-2, -2, -1, -1, -2, -1, -2]],
  ['2.345 in cents', 2345n, 10n, [235, 234, 234, 234, 235, 235, 234]],
  ['2.355 in cents', 2355n, 10n, [236, 236, 235, 235, 236, 236, 235]],
  ['1.005 in cents', 1005n, 10n, [101, 100, 100, 100, 101, 101, 100]],
  ['a whole number', 14n, 7n, [2, 2, 2, 2, 2, 2, 2]],
];

describe('divideRounded', () => {
  const rows = TABLE.flatMap(([name, numerator, denominator, expected]) =>
    ROUNDINGS.map((rounding, i) => ({ name, rounding, numerator, denominator, expected: BigInt(expected[i] ?? 0) })),
  );
  it.each(rows)('$name, $rounding', ({ numerator, denominator, rounding, expected }) => {
    expect(divideRounded(numerator, denominator, rounding)).toBe(expected);
    expect(divideRounded(-numerator, -denominator, rounding)).toBe(expected);
  });

  it('has no negative zero to print', () => {
    expect(String(divideRounded(-1n, 3n, 'half even'))).toBe('0');
    expect(Object.is(Number(divideRounded(-1n, 3n, 'down')), 0)).toBe(true);
  });

  it('refuses a division by zero', () => {
    expect(() => divideRounded(1n, 0n, 'half up')).toThrow(RangeError);
  });

  it('is off by less than one, and by at most a half in the half modes', () => {
    const n = fc.bigInt({ min: -(10n ** 20n), max: 10n ** 20n });
    const d = fc.bigInt({ min: 1n, max: 10n ** 10n });
    fc.assert(
      fc.property(n, d, fc.constantFrom<Rounding>(...ROUNDINGS), (numerator, denominator, rounding) => {
        const off = divideRounded(numerator, denominator, rounding) * denominator - numerator;
        const size = off < 0n ? -off : off;
        if (rounding.startsWith('half')) expect(size * 2n).toBeLessThanOrEqual(denominator);
        else expect(size).toBeLessThan(denominator);
      }),
    );
  });
});
