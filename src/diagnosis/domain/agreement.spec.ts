import { binomialDistribution } from 'simple-statistics';
import { describe, expect, it } from 'vitest';
import { seededNumbers } from '../../../tests/support/evidence-models.js';
import { cohensKappa, mcnemarExact, shareOf, type Cell } from './agreement.js';

function cellsOf(table: readonly (readonly number[])[]): Cell[] {
  return table.flatMap((row, r) => row.map((count, c) => ({ row: `c${r}`, column: `c${c}`, count })));
}

describe("Cohen's kappa", () => {
  // The first is the textbook's fifty grant proposals (agreement .70, by chance .50); all three have been worked out again apart
  // from this code.
  it.each([
    [
      [
        [20, 5],
        [10, 15],
      ],
      0.4,
    ],
    [
      [
        [45, 15],
        [25, 15],
      ],
      0.1304,
    ],
    [
      [
        [25, 35],
        [5, 35],
      ],
      0.2593,
    ],
  ])('of %j is %f', (table, expected) => {
    expect(cohensKappa(cellsOf(table))?.kappa).toBeCloseTo(expected, 4);
  });

  it('has the asymptotic error and limits that SAS prints (as quoted in the tests of statsmodels, inter_rater)', () => {
    const found = cohensKappa(
      cellsOf([
        [0, 4, 1],
        [0, 8, 0],
        [0, 1, 5],
      ]),
    );
    expect(found).toMatchObject({
      kappa: expect.closeTo(0.4842, 4) as number,
      standardError: expect.closeTo(0.138, 4) as number,
      low: expect.closeTo(0.2137, 4) as number,
      high: expect.closeTo(0.7547, 4) as number,
      cases: 19,
    });
  });

  it('keeps its error when classes are renamed or the raters change places', () => {
    const table = [
      [9, 2, 1],
      [0, 14, 3],
      [4, 1, 6],
    ];
    const plain = cohensKappa(cellsOf(table));
    const turned = cohensKappa(cellsOf(table).map(({ row, column, count }) => ({ row: column, column: row, count })));
    const renamed = cohensKappa(
      cellsOf(table)
        .map(({ row, column, count }) => ({ row: `x${row}`, column: `x${column}`, count }))
        .reverse(),
    );
    for (const other of [turned, renamed]) {
      expect(other?.kappa).toBeCloseTo(plain?.kappa ?? Number.NaN, 12);
      expect(other?.standardError).toBeCloseTo(plain?.standardError ?? Number.NaN, 12);
    }
  });

  it('covers the true value about as often as it says', () => {
    // Two raters who agree on the same hidden class with probability 0.8 each and else pick one of three: kappa of the population
    // is 0.8² exactly, because both margins are even.
    const next = seededNumbers(11);
    let covered = 0;
    for (let trial = 0; trial < 400; trial += 1) {
      const cells = Array.from({ length: 120 }, () => {
        const truth = Math.floor(next() * 3);
        const says = (): number => (next() < 0.8 ? truth : Math.floor(next() * 3));
        return { row: `c${says()}`, column: `c${says()}`, count: 1 };
      });
      const found = cohensKappa(cells);
      if (found !== undefined && found.low <= 0.64 && 0.64 <= found.high) covered += 1;
    }
    expect(covered / 400).toBeGreaterThan(0.91);
    expect(covered / 400).toBeLessThan(0.99);
  });

  it('is undefined, not NaN, where chance agrees always or nothing was rated', () => {
    expect(cohensKappa([{ row: 'a', column: 'a', count: 30 }])).toBeUndefined();
    expect(cohensKappa([])).toBeUndefined();
    // One rater always says a: chance agreement is below 1, and kappa 0 by hand.
    const steady = cohensKappa([
      { row: 'a', column: 'a', count: 30 },
      { row: 'b', column: 'a', count: 10 },
    ]);
    expect(steady?.kappa).toBeCloseTo(0, 12);
  });
});

describe('the exact McNemar test', () => {
  it('is by hand twice the tail of a fair coin', () => {
    // 12 cases differ, 2 for one side: 2·(1 + 12 + 66) / 4096. Five against none: 2 / 32.
    expect(mcnemarExact(10, 2)).toBeCloseTo(158 / 4096, 12);
    expect(mcnemarExact(0, 5)).toBeCloseTo(0.0625, 12);
    expect(mcnemarExact(3, 3)).toBe(1);
    expect(mcnemarExact(0, 0)).toBe(1);
  });

  it('agrees with the binomial distribution of simple-statistics', () => {
    for (const [first, second] of [
      [1, 9],
      [7, 20],
      [30, 31],
      [12, 45],
    ] as const) {
      const chances = binomialDistribution(first + second, 0.5) ?? [];
      const tail = chances.slice(0, Math.min(first, second) + 1).reduce((sum, p) => sum + p, 0);
      // Its distribution is cut where less than 0.0001 is left over.
      expect(Math.abs(mcnemarExact(first, second) - Math.min(1, 2 * tail))).toBeLessThan(0.0002);
    }
  });

  it('does not underflow on many cases, nor take what is no count', () => {
    expect(mcnemarExact(600_000, 600_000)).toBe(1);
    expect(mcnemarExact(5_000, 5_200)).toBeGreaterThan(0.04);
    expect(mcnemarExact(5_000, 5_200)).toBeLessThan(0.05);
    expect(() => mcnemarExact(-1, 2)).toThrow(RangeError);
    expect(() => mcnemarExact(0.5, 2)).toThrow(RangeError);
  });
});

describe('a share', () => {
  // R. G. Newcombe, Statistics in Medicine 17 (1998), method 3: his four examples.
  it.each([
    [81, 263, 0.2553, 0.3662],
    [15, 148, 0.0624, 0.1605],
    [0, 20, 0, 0.1611],
    [1, 29, 0.0061, 0.1718],
  ])('of %d in %d has the Wilson interval %f to %f', (count, of, low, high) => {
    const found = shareOf(count, of);
    expect(found?.low).toBeCloseTo(low, 4);
    expect(found?.high).toBeCloseTo(high, 4);
  });

  it('ends at 1 where all count, and is not said of nothing', () => {
    expect(shareOf(20, 20)).toMatchObject({ share: 1, high: 1 });
    expect(shareOf(0, 0)).toBeUndefined();
    expect(() => shareOf(3, 2)).toThrow(RangeError);
  });
});
