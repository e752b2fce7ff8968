import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { PARTIES } from '../../kernel/vocabulary.js';
import { partyAmounts, presumedShares, proportionalShares } from './responsibility-shares.js';

describe('shares of responsibility', () => {
  it('give one party all of it on a presumption', () => {
    expect(presumedShares('carrier')).toEqual([{ party: 'carrier', bp: 10_000 }]);
  });

  it('follow the weights, in the order of the parties', () => {
    const shares = proportionalShares(
      [
        { party: 'carrier', weight: 0.7 },
        { party: 'maker', weight: 0.2 },
        { party: 'seller', weight: 0.1 },
      ],
      500,
    );
    expect(shares).toEqual([
      { party: 'maker', bp: 2_000 },
      { party: 'seller', bp: 1_000 },
      { party: 'carrier', bp: 7_000 },
    ]);
  });

  it('add up what several origins put on one party', () => {
    const shares = proportionalShares(
      [
        { party: 'maker', weight: 0.25 },
        { party: 'carrier', weight: 0.5 },
        { party: 'maker', weight: 0.25 },
      ],
      0,
    );
    expect(shares).toEqual([
      { party: 'maker', bp: 5_000 },
      { party: 'carrier', bp: 5_000 },
    ]);
  });

  it('fold what is under the floor into the largest, and keep what is on it', () => {
    const weights = [
      { party: 'carrier', weight: 0.86 },
      { party: 'maker', weight: 0.05 },
      { party: 'seller', weight: 0.05 },
      { party: 'crew', weight: 0.04 },
    ] as const;
    expect(proportionalShares(weights, 500)).toEqual([
      { party: 'maker', bp: 500 },
      { party: 'seller', bp: 500 },
      { party: 'carrier', bp: 9_000 },
    ]);
    expect(proportionalShares(weights, 501)).toEqual([{ party: 'carrier', bp: 10_000 }]);
  });

  it('are measured against what is left once nobody has dropped out', () => {
    expect(
      proportionalShares(
        [
          { party: 'maker', weight: 0.1 },
          { party: 'carrier', weight: 0.3 },
        ],
        2_500,
      ),
    ).toEqual([
      { party: 'maker', bp: 2_500 },
      { party: 'carrier', bp: 7_500 },
    ]);
  });

  it('are empty when no weight is left', () => {
    expect(proportionalShares([], 500)).toEqual([]);
    expect(proportionalShares([{ party: 'maker', weight: 0 }], 500)).toEqual([]);
    expect(partyAmounts(100, [])).toEqual([]);
  });

  it('split 333.33 by 70, 20 and 10 per cent as 233.33, 66.67 and 33.33', () => {
    // Largest remainder: 233.331, 66.666 and 33.333 leave one cent for the largest remainder.
    const amounts = partyAmounts(33_333, [
      { party: 'maker', bp: 7_000 },
      { party: 'seller', bp: 2_000 },
      { party: 'carrier', bp: 1_000 },
    ]);
    expect(amounts.map(({ amountMinor }) => amountMinor)).toEqual([23_333, 6_667, 3_333]);
  });

  const anyWeights = fc.array(
    fc.record({ party: fc.constantFrom(...PARTIES), weight: fc.double({ min: 0, max: 1, noNaN: true }) }),
    { maxLength: 9 },
  );

  it('sum to 10,000 for any weights and floor, with every share but the largest on or above the floor', () => {
    fc.assert(
      fc.property(anyWeights, fc.integer({ min: 0, max: 10_000 }), (weights, floor) => {
        const shares = proportionalShares(weights, floor);
        fc.pre(shares.length > 0);
        const bps = shares.map(({ bp }) => bp);
        expect(bps.reduce((a, b) => a + b, 0)).toBe(10_000);
        // A share may lose less than one basis point to the rounding.
        const small = bps.filter((bp) => bp < floor - 1);
        expect(small.length).toBeLessThanOrEqual(1);
        const order = shares.map(({ party }) => PARTIES.indexOf(party));
        expect(order.every((place, index) => index === 0 || place > (order[index - 1] ?? -1))).toBe(true);
      }),
    );
  });

  it('put amounts on parties that sum to the cost, for any cost, salvage above cost included', () => {
    fc.assert(
      fc.property(anyWeights, fc.integer({ min: -1_000_000_000, max: 1_000_000_000 }), (weights, cost) => {
        const shares = proportionalShares(weights, 300);
        fc.pre(shares.length > 0);
        const amounts = partyAmounts(cost, shares);
        expect(amounts.reduce((sum, { amountMinor }) => sum + amountMinor, 0)).toBe(cost);
      }),
    );
  });
});
