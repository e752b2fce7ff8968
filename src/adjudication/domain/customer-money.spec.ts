import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { ROUNDINGS } from '../../kernel/rounding.js';
import { scaledLine } from './amount-lines.js';
import {
  allowanceMoney,
  refundMoney,
  valueReduction,
  type CustomerMoney,
  type PaidAndAge,
  type Terms,
} from './customer-money.js';
import { parsePercent } from './exact-decimal.js';

const terms = (changes: Partial<Terms> = {}): Terms => ({
  pricePercent: '100',
  tax: 'none',
  delivery: false,
  useDeduction: false,
  restockingPercent: '0',
  allowancePercent: '0',
  proRata: false,
  ...changes,
});

const paid = (
  changes: Partial<PaidAndAge['order']> = {},
  rest: Partial<Omit<PaidAndAge, 'order'>> = {},
): PaidAndAge => ({
  order: { currency: 'USD', priceMinor: 100_000, taxMinor: 0, deliveryMinor: 0, ...changes },
  rounding: 'half even',
  ageMonths: 0,
  useLifeMonths: undefined,
  warranty: undefined,
  ...rest,
});

function lines(outcome: CustomerMoney): Record<string, number> {
  if (!outcome.ok) throw new Error(outcome.problem);
  return Object.fromEntries([
    ...outcome.lines.map((line) => [line.id, line.amountMinor]),
    ['total', outcome.totalMinor],
  ]);
}

describe('money to the customer for a refund', () => {
  it('gives back all the tax and only the restocking is held back: 1,000.00 at 8.25 % less 15 % is 932.50', () => {
    // California: restocking is a charge for a service; the retailer returns ALL the tax (CDTFA annotation 490.0223, Reg. 1655(a)).
    const order = paid({ taxMinor: 8_250 });
    expect(lines(refundMoney(terms({ tax: 'full', restockingPercent: '15' }), order, 'claim'))).toEqual({
      price: 100_000,
      restocking: -15_000,
      tax: 8_250,
      total: 93_250,
    });
  });

  it('is 920.13 under a rule that gives tax back in proportion to the net credit', () => {
    // The same annotation's wrong answer for California, right where tax follows the net price: 82.50 × 0.85 = 70.125.
    const order = paid({ taxMinor: 8_250 }, { rounding: 'half up' });
    expect(lines(refundMoney(terms({ tax: 'proportional', restockingPercent: '15' }), order, 'claim'))).toMatchObject({
      tax: 7_013,
      total: 92_013,
    });
  });

  it('returns price and tax as two lines: 100.00 at 8 % gives 108.00', () => {
    const order = paid({ priceMinor: 10_000, taxMinor: 800 });
    expect(lines(refundMoney(terms({ tax: 'full' }), order, 'claim'))).toEqual({
      price: 10_000,
      tax: 800,
      total: 10_800,
    });
  });

  it('deducts straight-line use: month 18 of 60 on 1,200.00 gives 840.00', () => {
    // Consumer Rights Act 2015 s.24(8) allows a deduction for use on final rejection after 6 months; the straight line is policy.
    const order = paid({ currency: 'GBP', priceMinor: 120_000 }, { ageMonths: 18, useLifeMonths: 60 });
    expect(lines(refundMoney(terms({ useDeduction: true }), order, 'drive'))).toEqual({
      price: 120_000,
      'use deduction': -36_000,
      total: 84_000,
    });
  });

  it('uses up 140.00 of 1,200.00 in month 7 of 60', () => {
    // Straight-line depreciation as in accounting texts: cost 1,200, salvage 0, 60 months.
    const order = paid({ priceMinor: 120_000 }, { ageMonths: 7, useLifeMonths: 60 });
    expect(lines(refundMoney(terms({ useDeduction: true }), order, 'drive'))['use deduction']).toBe(-14_000);
  });

  // Linear pro-rata rebate price × (W − x) ÷ W (Blischke & Murthy, pro-rata warranties): published calculator rows.
  it.each([
    [12_000, 36, 12, 8_000],
    [15_000, 48, 24, 7_500],
    [15_000, 24, 12, 7_500],
    [120_000, 120, 37, 83_000],
    [120_000, 120, 120, 0],
    [120_000, 120, 121, 0],
  ])('is pro rata %i over %i months at age %i: %i', (priceMinor, term, ageMonths, expected) => {
    const warranty = { component: 'motor', fullMonths: 0, proRataMonths: term } as const;
    expect(
      lines(refundMoney(terms({ proRata: true }), paid({ priceMinor }, { ageMonths, warranty }), 'drive')).total,
    ).toBe(expected);
  });

  it('never goes below nothing, and says so in a line of its own', () => {
    const order = paid({}, { ageMonths: 90, useLifeMonths: 60 });
    const outcome = refundMoney(terms({ useDeduction: true, restockingPercent: '20' }), order, 'claim');
    expect(lines(outcome)).toMatchObject({ 'not below nothing': 20_000, total: 0 });
  });

  it('gives the delivery fee back only under terms that say so', () => {
    const order = paid({ deliveryMinor: 4_000 });
    expect(lines(refundMoney(terms({ delivery: true }), order, 'claim')).total).toBe(104_000);
    expect(lines(refundMoney(terms(), order, 'claim')).total).toBe(100_000);
  });

  it.each([
    ['deducts for use without a life', terms({ useDeduction: true }), 'no life'],
    ['is pro rata without a warranty', terms({ proRata: true }), 'no warranty'],
    ['has a percentage above 100', terms({ pricePercent: '100.01' }), 'not a percentage'],
    ['has a negative percentage', terms({ restockingPercent: '-1' }), 'not a percentage'],
    ['has a percentage in another form', terms({ pricePercent: '1e2' }), 'not a percentage'],
  ])('has no amount where the policy %s', (_says, given, problem) => {
    const outcome = refundMoney(given, paid(), 'claim');
    expect(outcome).toMatchObject({ ok: false, problem: expect.stringContaining(problem) as string });
  });

  it('says how every number was worked out, in figures', () => {
    const order = paid({ priceMinor: 89_990, taxMinor: 7_424 });
    const outcome = refundMoney(terms({ tax: 'full', restockingPercent: '15' }), order, 'claim');
    expect(outcome.ok && outcome.lines.map(({ working }) => working)).toEqual([
      '899.90 × 100 % = 899.90',
      '899.90 × 15 % = 134.985, rounded half even to 134.98, held back',
      '74.24 as charged, given back in full',
    ]);
  });
});

describe('money to the customer for an allowance', () => {
  it('is 134.98 for 15 % of 899.90 rounded half even and 134.99 rounded half up', () => {
    // 134.985 is a tie (IEEE 754 names the two roundings); binary floating point has no 134.985.
    const of = (rounding: PaidAndAge['rounding']): number | undefined =>
      lines(allowanceMoney(terms({ allowancePercent: '15' }), paid({ priceMinor: 89_990 }, { rounding }), 'carton'))
        .total;
    expect(of('half even')).toBe(13_498);
    expect(of('half up')).toBe(13_499);
  });

  it('gives tax in proportion unless the terms leave tax out', () => {
    const order = paid({ taxMinor: 8_250 });
    const given = { allowancePercent: '10' };
    expect(lines(allowanceMoney(terms({ ...given, tax: 'full' }), order, 'carton'))).toMatchObject({ tax: 825 });
    expect(lines(allowanceMoney(terms({ ...given, tax: 'proportional' }), order, 'carton'))).toMatchObject({
      tax: 825,
    });
    expect(lines(allowanceMoney(terms(given), order, 'carton'))).toEqual({ allowance: 10_000, total: 10_000 });
  });

  it('is in the minor units of the currency: 10 % of JPY 1,255 and of KWD 12.345', () => {
    // Exponents of ISO 4217: the yen has none, the dinar three.
    const ten = terms({ allowancePercent: '10' });
    expect(
      lines(allowanceMoney(ten, paid({ currency: 'JPY', priceMinor: 1_255 }, { rounding: 'half up' }), 'x')).total,
    ).toBe(126);
    expect(lines(allowanceMoney(ten, paid({ currency: 'JPY', priceMinor: 1_245 }), 'x')).total).toBe(124);
    expect(
      lines(allowanceMoney(ten, paid({ currency: 'KWD', priceMinor: 12_345 }, { rounding: 'half up' }), 'x')).total,
    ).toBe(1_235);
    expect(lines(allowanceMoney(ten, paid({ currency: 'KWD', priceMinor: 12_345 }), 'x')).total).toBe(1_234);
  });
});

describe('a price reduction by value', () => {
  const eur = { currency: 'EUR' };

  it('leaves 220 to pay of 330 for goods worth 200 instead of 300', () => {
    // Directive (EU) 2019/771 art. 15; the figures are the worked example of the same ratio in BGB s.441(3).
    const outcome = valueReduction(
      { promisedMinor: 30_000, actualMinor: 20_000 },
      { tax: 'none' },
      paid({ ...eur, priceMinor: 33_000 }),
      'frame',
    );
    expect(lines(outcome).total).toBe(33_000 - 22_000);
  });

  it('gives 250.00 back of 1,000.00 for goods worth 900 instead of 1,200', () => {
    const outcome = valueReduction(
      { promisedMinor: 120_000, actualMinor: 90_000 },
      { tax: 'none' },
      paid(eur),
      'frame',
    );
    expect(lines(outcome).total).toBe(25_000);
  });

  it('gives nothing for goods worth more than promised, and refuses a promise of nothing', () => {
    expect(
      lines(valueReduction({ promisedMinor: 100, actualMinor: 200 }, { tax: 'none' }, paid(eur), 'frame')).total,
    ).toBe(0);
    expect(valueReduction({ promisedMinor: 0, actualMinor: 0 }, { tax: 'none' }, paid(eur), 'frame').ok).toBe(false);
  });
});

describe('rounding of a line', () => {
  it('rounds published tax figures half up as published', () => {
    // CDTFA annotation 490.0160: two exact half-cent ties; the rate of 6.5 % is inferred from its figures.
    const basis = { currency: 'USD', rounding: 'half up', about: 'claim' } as const;
    const by = parsePercent('6.5') ?? { numerator: 0n, denominator: 1n };
    const tax = (baseMinor: number): number =>
      scaledLine(basis, { id: 'tax', says: 'Tax', baseMinor, by, shown: '6.5 %' }).amountMinor;
    expect(tax(15_375_700)).toBe(999_421);
    expect(tax(15_512_500)).toBe(1_008_313);
  });

  it('stays within integers and within the price for any price, percentages, age and rounding', () => {
    const percent = fc.integer({ min: 0, max: 10_000 }).map((hundredths) => (hundredths / 100).toFixed(2));
    fc.assert(
      fc.property(
        fc.record({
          price: fc.integer({ min: 1, max: 10_000_000_000 }),
          tax: fc.integer({ min: 0, max: 1_000_000_000 }),
          restocking: percent,
          allowance: percent,
          age: fc.integer({ min: 0, max: 500 }),
          life: fc.integer({ min: 1, max: 240 }),
          rounding: fc.constantFrom(...ROUNDINGS),
          rule: fc.constantFrom<Terms['tax'][]>('full', 'proportional', 'none'),
        }),
        ({ price, tax, restocking, allowance, age, life, rounding, rule }) => {
          const order = paid({ priceMinor: price, taxMinor: tax }, { ageMonths: age, useLifeMonths: life, rounding });
          const given = terms({
            useDeduction: true,
            tax: rule,
            restockingPercent: restocking,
            allowancePercent: allowance,
          });
          for (const outcome of [refundMoney(given, order, 'x'), allowanceMoney(given, order, 'x')]) {
            const { total, ...rest } = lines(outcome);
            expect(Object.values(rest).every(Number.isSafeInteger)).toBe(true);
            expect(Object.values(rest).reduce((a, b) => a + b, 0)).toBe(total);
            expect(total).toBeGreaterThanOrEqual(0);
            expect(total).toBeLessThanOrEqual(price + tax);
          }
        },
      ),
    );
  });
});
