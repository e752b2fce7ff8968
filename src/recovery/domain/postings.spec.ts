import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { PARTIES } from '../../kernel/vocabulary.js';
import { splitByWeight } from '../../kernel/shares.js';
import { demandTransfer, transferFaults } from './postings.js';

describe('double entry', () => {
  it('holds for every demand made from split costs', () => {
    fc.assert(
      fc.property(
        fc.integer({ min: 1, max: 5_000_000 }),
        fc.array(fc.nat({ max: 10_000 }), { minLength: 5, maxLength: 5 }),
        (cost, weights) => {
          fc.pre(weights.some((weight) => weight > 0));
          const parts = splitByWeight(cost, weights);
          const transfer = demandTransfer(
            'c',
            'USD',
            PARTIES.map((party, index) => ({ party, amountMinor: parts[index] ?? 0 })),
          );
          expect(transferFaults(transfer)).toEqual([]);
        },
      ),
    );
  });

  it('refuses a transfer that does not balance, is one-sided, or moves nothing', () => {
    const bank = { kind: 'bank' } as const;
    const customer = { kind: 'customer' } as const;
    const base = { claim: 'c', currency: 'USD', reason: 'refund' };
    expect(transferFaults({ ...base, postings: [{ account: bank, amountMinor: -100 }] })).toEqual([
      'a transfer has at least two postings',
      'debits and credits differ by -100 minor units',
    ]);
    expect(
      transferFaults({
        ...base,
        postings: [
          { account: bank, amountMinor: -100 },
          { account: customer, amountMinor: 99 },
        ],
      }),
    ).toEqual(['debits and credits differ by -1 minor units']);
    expect(
      transferFaults({
        ...base,
        postings: [
          { account: bank, amountMinor: 0 },
          { account: customer, amountMinor: 0 },
        ],
      }),
    ).toHaveLength(2);
  });
});
