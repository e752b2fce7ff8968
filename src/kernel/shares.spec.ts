import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { splitByWeight, toBasisPoints, WHOLE_BP } from './shares.js';

describe('splitByWeight', () => {
  it.each<[string, number, number[], number[]]>([
    // The textbook example of the largest remainder method (from memory, recomputed).
    ['seats', 10, [47_000, 16_000, 15_800, 12_000, 6_100, 3_100], [5, 2, 1, 1, 1, 0]],
    // Published small example: quotas 3.5, 2.1 and 1.4.
    ['half of seven', 7, [50, 30, 20], [4, 2, 1]],
    // Computed by hand.
    ['thirds of a hundred', 100, [1, 1, 1], [34, 33, 33]],
    ['fault 70/20/10 of 333.33', 33_333, [70, 20, 10], [23_333, 6_667, 3_333]],
    ['freight over three lines', 9_900, [89_999, 24_999, 4_999], [7_425, 2_063, 412]],
    ['a refund mirrors the payment', -100, [1, 1, 1], [-34, -33, -33]],
    ['ties go to the earlier weight', 1, [1, 1], [1, 0]],
    ['zero weights get nothing', 5, [0, 3, 0], [0, 5, 0]],
    ['nothing to split', 0, [1, 2], [0, 0]],
  ])('%s', (_, total, weights, parts) => {
    expect(splitByWeight(total, weights)).toEqual(parts);
  });

  it('refuses negative, broken and all-zero weights', () => {
    expect(() => splitByWeight(1, [0, 0])).toThrow(RangeError);
    expect(() => splitByWeight(1, [])).toThrow(RangeError);
    expect(() => splitByWeight(1, [2, -1])).toThrow(RangeError);
    expect(() => splitByWeight(1, [0.5])).toThrow(RangeError);
    expect(() => splitByWeight(0.5, [1])).toThrow(RangeError);
  });

  const weights = fc.array(fc.nat(1_000_000), { minLength: 1, maxLength: 12 }).filter((w) => w.some((x) => x > 0));

  it('always sums to the total, and no part is a whole unit away from its quota', () => {
    fc.assert(
      fc.property(fc.integer({ min: -(10 ** 9), max: 10 ** 9 }), weights, (total, w) => {
        const parts = splitByWeight(total, w);
        const sum = w.reduce((a, b) => a + b, 0);
        expect(parts.reduce((a, b) => a + b, 0)).toBe(total);
        parts.forEach((part, i) => {
          const off = BigInt(part) * BigInt(sum) - BigInt(total) * BigInt(w[i] ?? 0);
          expect(off < 0n ? -off : off).toBeLessThan(BigInt(sum));
        });
      }),
    );
  });

  it('gives a heavier weight no less, and does not look at the scale of the weights', () => {
    fc.assert(
      fc.property(fc.nat(10 ** 6), weights, fc.integer({ min: 2, max: 9 }), (total, w, k) => {
        const parts = splitByWeight(total, w);
        expect(
          splitByWeight(
            total,
            w.map((x) => x * k),
          ),
        ).toEqual(parts);
        w.forEach((x, i) => {
          w.forEach((y, j) => {
            if (x > y) expect(parts[i]).toBeGreaterThanOrEqual(parts[j] ?? 0);
          });
        });
      }),
    );
  });
});

describe('toBasisPoints', () => {
  it.each([
    [
      [1, 1, 1],
      [3334, 3333, 3333],
    ],
    [
      [0.7, 0.2, 0.1],
      [7000, 2000, 1000],
    ],
    [
      [0, 0.5],
      [0, 10_000],
    ],
  ])('%j → %j', (probabilities, bp) => {
    expect(toBasisPoints(probabilities)).toEqual(bp);
  });

  it('sums to 10,000 for any probabilities', () => {
    const reals = fc.array(fc.double({ min: 0, max: 1, noNaN: true }), { minLength: 1, maxLength: 9 });
    fc.assert(
      fc.property(
        reals.filter((p) => p.some((x) => x > 1e-6)),
        (p) => {
          expect(toBasisPoints(p).reduce((a, b) => a + b, 0)).toBe(WHOLE_BP);
        },
      ),
    );
  });

  it('refuses what is no probability', () => {
    expect(() => toBasisPoints([Number.NaN])).toThrow(RangeError);
    expect(() => toBasisPoints([-0.1, 1])).toThrow(RangeError);
    expect(() => toBasisPoints([Infinity])).toThrow(RangeError);
  });
});
