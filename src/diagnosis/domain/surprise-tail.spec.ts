import { describe, expect, it } from 'vitest';
import { seededNumbers } from '../../../tests/support/evidence-models.js';
import { surpriseTail } from './surprise-tail.js';

/** Every outcome, by its probability as a plain product. */
function byEnumeration(present: readonly number[], seen: readonly boolean[]): number {
  let outcomes = [{ chance: 1, isSeen: true }];
  present.forEach((p, i) => {
    outcomes = outcomes.flatMap((one) => [
      { chance: one.chance * p, isSeen: one.isSeen && seen[i] === true },
      { chance: one.chance * (1 - p), isSeen: one.isSeen && seen[i] === false },
    ]);
  });
  const observed = outcomes.find((one) => one.isSeen)?.chance ?? Number.NaN;
  return outcomes.filter((one) => one.chance <= observed * (1 + 1e-9)).reduce((sum, one) => sum + one.chance, 0);
}

/** P(X >= k) for n trials of chance p, from binomial coefficients. */
function binomialTail(n: number, k: number, p: number): number {
  let tail = 0;
  for (let x = k; x <= n; x += 1) {
    let ways = 1;
    for (let i = 0; i < x; i += 1) ways = (ways * (n - i)) / (i + 1);
    tail += ways * p ** x * (1 - p) ** (n - x);
  }
  return tail;
}

describe('the tail of surprise', () => {
  it('is 1 for the likeliest outcome and for nothing seen', () => {
    expect(surpriseTail([], [])).toBe(1);
    expect(surpriseTail([0.9, 0.2, 0.5], [true, false, true])).toBe(1);
  });

  it('is the chance of the one unlikely outcome for one observation', () => {
    expect(surpriseTail([0.9], [false])).toBeCloseTo(0.1, 12);
    expect(surpriseTail([0.03], [true])).toBeCloseTo(0.03, 12);
  });

  it.each([
    [10, 3],
    [12, 2],
    [13, 2],
    [40, 6],
    [200, 15],
  ])('is the binomial tail for %d alike observations of which %d surprise', (n, k) => {
    const tail = surpriseTail(
      Array.from({ length: n }, () => 0.05),
      Array.from({ length: n }, (_, i) => i < k),
    );
    expect(tail / binomialTail(n, k, 0.05)).toBeCloseTo(1, 9);
  });

  it('is found exactly up to 12 observations', () => {
    const next = seededNumbers(11);
    for (let round = 0; round < 60; round += 1) {
      const present = Array.from({ length: 12 }, () => 0.01 + next() * 0.98);
      const seen = present.map((p) => next() < p);
      expect(surpriseTail(present, seen)).toBeCloseTo(byEnumeration(present, seen), 9);
    }
  });

  it('is found within 0.005 beyond', () => {
    const next = seededNumbers(12);
    for (let round = 0; round < 40; round += 1) {
      const present = Array.from({ length: 15 }, () => 0.01 + next() * 0.98);
      const seen = present.map((p) => next() < p);
      expect(Math.abs(surpriseTail(present, seen) - byEnumeration(present, seen))).toBeLessThan(0.005);
    }
  });

  it('stays true to scale far out in the tail', () => {
    const present = Array.from({ length: 14 }, (_, i) => 0.02 + 0.01 * (i % 3));
    const seen = present.map((_, i) => i < 6);
    expect(surpriseTail(present, seen) / byEnumeration(present, seen)).toBeCloseTo(1, 1);
  });
});
