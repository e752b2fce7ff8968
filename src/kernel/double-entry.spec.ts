import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { accountOf, balancedBy, postingFaults, reversed, type Account, type Posting } from './double-entry.js';
import { splitByWeight } from './shares.js';
import { PARTIES } from './vocabulary.js';

const ACCOUNTS: readonly Account[] = [...PARTIES.map(accountOf), 'customer', 'bank', 'supply', 'salvage', 'loss'];
const sides = fc.array(
  fc.record<Posting>({
    account: fc.constantFrom(...ACCOUNTS),
    amountMinor: fc.integer({ min: -5_000_000, max: 5_000_000 }),
  }),
  { maxLength: 12 },
);

describe('double entry', () => {
  it('holds for every movement that is balanced by an account, and for its reverse', () => {
    fc.assert(
      fc.property(sides, fc.constantFrom(...ACCOUNTS), (moved, balancing) => {
        const postings = balancedBy(balancing, moved);
        fc.pre(postings.length > 0);
        expect(postingFaults(postings)).toEqual([]);
        expect(postingFaults(reversed(postings))).toEqual([]);
      }),
    );
  });

  it('holds for every demand made from split costs: each party owes its part, the loss is less by the sum', () => {
    fc.assert(
      fc.property(
        fc.integer({ min: 1, max: 5_000_000 }),
        fc.array(fc.nat({ max: 10_000 }), { minLength: 5, maxLength: 5 }),
        (cost, weights) => {
          fc.pre(weights.some((weight) => weight > 0));
          const parts = splitByWeight(cost, weights);
          const owed = PARTIES.map((party, at) => ({ account: accountOf(party), amountMinor: parts[at] ?? 0 }));
          const postings = balancedBy('loss', owed);
          expect(postings.find(({ account }) => account === 'loss')?.amountMinor).toBe(-cost);
        },
      ),
    );
  });

  it('moves nothing where nothing moves', () => {
    expect(balancedBy('loss', [])).toEqual([]);
    expect(balancedBy('loss', [{ account: 'customer', amountMinor: 0 }])).toEqual([]);
    expect(balancedBy('loss', [{ account: 'loss', amountMinor: 5 }])).toEqual([]);
  });

  it('refuses postings that do not balance, are one-sided, or move nothing', () => {
    expect(postingFaults([{ account: 'bank', amountMinor: -100 }])).toEqual([
      'a transfer has at least two postings',
      'debits and credits differ by -100 minor units',
    ]);
    expect(
      postingFaults([
        { account: 'bank', amountMinor: -100 },
        { account: 'customer', amountMinor: 99 },
      ]),
    ).toEqual(['debits and credits differ by -1 minor units']);
    expect(
      postingFaults([
        { account: 'bank', amountMinor: 0 },
        { account: 'customer', amountMinor: 0 },
      ]),
    ).toHaveLength(2);
    expect(postingFaults([{ account: 'bank', amountMinor: 0.5 }])).toHaveLength(2);
  });
});
