import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { decided, shippedPolicy } from '../../tests/support/shipped-policy.js';
import { money, moneyDecimal, parseMoneyDecimal, scaleMoney } from '../kernel/money.js';
import type { Facts } from '../policies/policies.contract.js';
import { refundMoney, type PaidAndAge, type Terms } from './domain/customer-money.js';
import { readTerms } from './domain/remedy-options.js';

/** Published rules of sales tax, restocking and rounding, put to the arithmetic and to the policies that come with the service. */

const US = shippedPolicy('us');
const EU = shippedPolicy('eu');
const UK = shippedPolicy('uk');
const CHANGED = { ground: 'return', 'return reason': 'change of mind', component: null, origin: null, finding: 'none' };

const paid = (changes: Partial<PaidAndAge> = {}): PaidAndAge => ({
  order: { currency: 'USD', priceMinor: 100_000, taxMinor: 8_250, deliveryMinor: 0 },
  rounding: 'half up',
  ageMonths: 0,
  useLifeMonths: 60,
  warranty: undefined,
  ...changes,
});

function termsOf(policy: typeof US, facts: Facts): Terms {
  const terms = readTerms(decided(policy, ['terms'], { ...facts, option: 'refund' }).outcomes);
  if (terms === undefined) throw new Error('no terms');
  return terms;
}

function refund(policy: typeof US, facts: Facts): Record<string, number> {
  const outcome = refundMoney(termsOf(policy, facts), paid(), 'claim');
  if (!outcome.ok) throw new Error(outcome.problem);
  return Object.fromEntries([
    ...outcome.lines.map(({ id, amountMinor }) => [id, amountMinor]),
    ['total', outcome.totalMinor],
  ]);
}

describe('restocking', () => {
  it('CDTFA annotation 490.0223, Regulation 1655(a): 15 % is kept of 1,000.00, all 82.50 of tax comes back: 932.50, not 920.13', () => {
    expect(refund(US, { ...CHANGED, opened: true })).toEqual({
      price: 100_000,
      restocking: -15_000,
      tax: 8_250,
      total: 93_250,
    });
  });

  it.each([
    ['a wrong item (UCC 2-601)', { ...CHANGED, 'return reason': 'wrong item' }],
    ['damage found at unboxing (UCC 2-601, 2-714)', { ground: 'damage', 'found at': 'unboxing' }],
    ['goods dead on arrival', { ground: 'dead on arrival' }],
  ])('takes no fee for %s, under any policy', (_, facts) => {
    for (const policy of [US, EU, UK]) expect(termsOf(policy, facts).restockingPercent).toBe('0');
    expect(refund(US, facts)).toMatchObject({ price: 100_000, total: 108_250 });
  });

  it('is kept on change of mind only, and nowhere in Europe (Directive 2011/83/EU art. 14; reg. 34 of the 2013 Regulations)', () => {
    expect(Number(termsOf(US, CHANGED).restockingPercent)).toBeGreaterThan(0);
    expect([EU, UK].map((policy) => termsOf(policy, CHANGED).restockingPercent)).toEqual(['0', '0']);
  });
});

describe('what a refund may hold back', () => {
  const percent = fc.integer({ min: 0, max: 100 }).map(String);
  const anyTerms: fc.Arbitrary<Terms> = fc.record({
    pricePercent: percent,
    tax: fc.constantFrom('full', 'proportional', 'none'),
    delivery: fc.boolean(),
    useDeduction: fc.boolean(),
    restockingPercent: percent,
    allowancePercent: percent,
    proRata: fc.constant(false),
  });

  it('is restocking and use alone: no trip, no lost discount (CDTFA annotations 490.0128, 490.0160), whatever the terms', () => {
    fc.assert(
      fc.property(anyTerms, fc.integer({ min: 0, max: 90 }), (terms, ageMonths) => {
        const outcome = refundMoney(terms, paid({ ageMonths }), 'claim');
        if (!outcome.ok) throw new Error(outcome.problem);
        const held = outcome.lines.filter(({ amountMinor }) => amountMinor < 0).map(({ id }) => id);
        expect(held.filter((id) => id !== 'restocking' && id !== 'use deduction')).toEqual([]);
        expect(outcome.totalMinor).toBeGreaterThanOrEqual(0);
      }),
    );
  });
});

describe('money in binary', () => {
  it('never takes part: 1.005 × 100 is 100.49999999999999 to JavaScript, and 1.005 of 1.00 rounds to 1.01 half up', () => {
    expect(1.005 * 100).toBe(100.49999999999999);
    expect(moneyDecimal(scaleMoney(money(100, 'USD'), 1_005n, 1_000n, 'half up'))).toBe('1.01');
    expect(moneyDecimal(scaleMoney(money(100, 'USD'), 1_005n, 1_000n, 'half even'))).toBe('1.00');
    expect(parseMoneyDecimal('1.005', 'USD')).toBeUndefined();
    expect(parseMoneyDecimal('0.30', 'USD')?.amountMinor).toBe(30);
  });
});
