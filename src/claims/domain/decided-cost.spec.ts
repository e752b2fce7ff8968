import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { AmountLine, Assessment, Responsibility } from '../../adjudication/adjudication.contract.js';
import { postingFaults } from '../../kernel/double-entry.js';
import { WHOLE_BP } from '../../kernel/shares.js';
import { REMEDIES, type Remedy } from '../../kernel/vocabulary.js';
import { decidedCost, decisionPostings } from './decided-cost.js';

const line = (id: string, amountMinor: number, about: string): AmountLine => ({
  id,
  says: id,
  amountMinor,
  working: '',
  about,
});

const matter = (about: string, costMinor: number): Responsibility => ({
  about,
  mode: 'presumption',
  shares: [{ party: 'carrier', bp: WHOLE_BP }],
  costMinor,
  amounts: [{ party: 'carrier', amountMinor: costMinor }],
  because: '',
  fired: [],
});

/** A part for the frame at 150.00 and an allowance of 40.00 for the carton. */
const TWO_REMEDIES = assessment(
  ['part', 'allowance'],
  [line('part P', 12_000, 'frame'), line('part freight P', 3_000, 'frame'), line('customer', 4_000, 'carton')],
  [matter('frame', 15_000), matter('carton', 4_000)],
);

/** A refund of 900.00 with 60.00 of return freight, less 200.00 of salvage. */
const REFUND = assessment(
  ['refund'],
  [line('customer', 90_000, 'frame'), line('return freight', 6_000, 'frame'), line('salvage', -20_000, 'frame')],
  [matter('frame', 76_000)],
);

function assessment(
  remedies: readonly Remedy[],
  costLines: readonly AmountLine[],
  responsibility: readonly Responsibility[],
): Assessment {
  const sum = (lines: readonly AmountLine[]): number =>
    lines.reduce((total, { amountMinor }) => total + amountMinor, 0);
  const chosen = remedies.map((remedy, at) => ({
    remedy,
    about: [responsibility[at]?.about ?? ''],
    parts: [],
    because: '',
  }));
  const customerTotalMinor = sum(costLines.filter(({ id }) => id === 'customer'));
  const remedy = {
    currency: 'USD',
    chosen,
    options: [],
    customerLines: [],
    customerTotalMinor,
    costLines,
    costTotalMinor: sum(costLines),
  };
  return { remedy, responsibility } as unknown as Assessment;
}

describe('what a decision costs', () => {
  it('is what was proposed where it follows the proposal', () => {
    const cost = decidedCost(TWO_REMEDIES, { remedies: ['part', 'allowance'], totalMinor: 4_000, overrides: false });
    expect(cost).toMatchObject({ costTotalMinor: 19_000, customerTotalMinor: 4_000, uncosted: [] });
    expect(decisionPostings(cost)).toEqual(
      expect.arrayContaining([
        { account: 'loss', amountMinor: 19_000 },
        { account: 'customer', amountMinor: -4_000 },
        { account: 'supply', amountMinor: -15_000 },
      ]),
    );
  });

  it('keeps expected salvage apart, as goods in hand', () => {
    const cost = decidedCost(REFUND, { remedies: ['refund'], totalMinor: 90_000, overrides: false });
    expect(decisionPostings(cost)).toEqual(
      expect.arrayContaining([
        { account: 'loss', amountMinor: 76_000 },
        { account: 'customer', amountMinor: -90_000 },
        { account: 'salvage', amountMinor: 20_000 },
        { account: 'supply', amountMinor: -6_000 },
      ]),
    );
  });

  it('is the money decided and the other lines of the remedies kept, where it departs from the proposal', () => {
    const less = decidedCost(REFUND, { remedies: ['refund'], totalMinor: 50_000, overrides: true });
    expect(less).toMatchObject({ costTotalMinor: 36_000, customerTotalMinor: 50_000 });
    expect(less.responsibility[0]?.amounts).toEqual([{ party: 'carrier', amountMinor: 36_000 }]);
  });

  it('never goes below nothing by salvage (49 CFR 370.11)', () => {
    const cost = decidedCost(REFUND, { remedies: ['refund'], totalMinor: 1_000, overrides: true });
    expect(cost.costTotalMinor).toBe(0);
  });

  it('names the remedies whose cost nobody knows', () => {
    const cost = decidedCost(TWO_REMEDIES, { remedies: ['unit'], totalMinor: 0, overrides: true });
    expect(cost).toMatchObject({ costTotalMinor: 0, uncosted: ['unit'] });
  });

  it('is nothing for a claim that is declined', () => {
    const cost = decidedCost(REFUND, { remedies: ['none'], totalMinor: 0, overrides: true });
    expect([cost.costTotalMinor, decisionPostings(cost)]).toEqual([0, []]);
  });

  it('is shared out whole and balances, whatever is decided', () => {
    const remedies = fc.uniqueArray(fc.constantFrom(...REMEDIES), { minLength: 1 });
    fc.assert(
      fc.property(
        fc.constantFrom(TWO_REMEDIES, REFUND),
        remedies,
        fc.nat({ max: 200_000 }),
        fc.boolean(),
        (made, chosen, totalMinor, overrides) => {
          const cost = decidedCost(made, { remedies: chosen, totalMinor, overrides });
          const shared = cost.responsibility.reduce((sum, { costMinor }) => sum + costMinor, 0);
          expect(shared).toBe(cost.costTotalMinor);
          expect(cost.costTotalMinor).toBeGreaterThanOrEqual(0);
          const postings = decisionPostings(cost);
          if (postings.length > 0) expect(postingFaults(postings)).toEqual([]);
        },
      ),
    );
  });
});
