import { describe, expect, it } from 'vitest';
import { ready, rule } from '../../tests/support/small-policy.js';
import {
  responsibilityBy,
  WORKED_CHECKLIST,
  WORKED_EVIDENCE,
  WORKED_MODEL,
  WORKED_PARAMETERS,
  workedClaim,
  workedPolicy,
} from '../../tests/support/worked-claim.js';
import { compilePolicy, type PolicyDocument } from '../policies/policies.contract.js';
import type { Assessment, ClaimFile } from './adjudication.contract.js';
import { assess } from './assessment.js';

/**
 * The worked claim in currencies of no, two, three and four digits after the point (ISO 4217: JPY, EUR, KWD, CLF). Amounts of the claim
 * are minor units; expected figures are worked by hand.
 */

const DIGITS = { JPY: 0, EUR: 2, KWD: 3, CLF: 4 } as const;
type Currency = keyof typeof DIGITS;

function policyIn(currency: Currency, over: Partial<PolicyDocument> = {}, rounding = 'half even'): PolicyDocument {
  return workedPolicy({}, { money: { currency, scale: DIGITS[currency], rounding: rounding as 'half even' }, ...over });
}

function assessedIn(
  currency: Currency,
  order: Partial<ClaimFile['order']>,
  policy = policyIn(currency),
  wish: ClaimFile['wish'] = 'refund',
) {
  const claim = workedClaim({ wish, order: { ...workedClaim().order, currency, ...order } });
  const outcome = assess(claim, {
    model: { ...WORKED_MODEL, currency },
    checklist: WORKED_CHECKLIST,
    evidenceModel: WORKED_EVIDENCE,
    policy: ready(policy),
    isHoliday: () => false,
  });
  if (!outcome.ok) throw new Error(JSON.stringify(outcome.faults));
  return outcome.value;
}

const amounts = (lines: Assessment['remedy']['customerLines']): Record<string, number> =>
  Object.fromEntries(lines.map(({ id, amountMinor }) => [id, amountMinor]));

describe.each(Object.keys(DIGITS) as Currency[])('a claim in %s', (currency) => {
  const digits = DIGITS[currency];
  const shown = (minor: number): string => (minor / 10 ** digits).toFixed(digits);

  it('gives back price, tax and delivery in whole minor units, with figures of its own digits', () => {
    const { remedy } = assessedIn(currency, { priceMinor: 54_321, taxMinor: 4_321, deliveryMinor: 321 });
    expect(amounts(remedy.customerLines)).toEqual({ price: 54_321, tax: 4_321, delivery: 321 });
    expect(remedy.customerTotalMinor).toBe(58_963);
    expect(remedy.customerLines[0]?.working).toBe(`${shown(54_321)} × 100 % = ${shown(54_321)}`);
  });

  it('rounds an allowance of 10 % once, by the mode that the policy names', () => {
    const of = (rounding: string): Record<string, number> => {
      const order = { priceMinor: 12_345, taxMinor: 0, deliveryMinor: 0 };
      return amounts(assessedIn(currency, order, policyIn(currency, {}, rounding), 'allowance').remedy.customerLines);
    };
    expect(of('half up')).toEqual({ allowance: 1_235 });
    expect(of('half even')).toEqual({ allowance: 1_234 });
    expect(of('up')).toEqual({ allowance: 1_235 });
    expect(of('down')).toEqual({ allowance: 1_234 });
  });

  it('splits the cost over findings and parties so that nothing is lost, whatever the digits', () => {
    const { remedy, responsibility } = assessedIn(currency, { priceMinor: 33_333, taxMinor: 0, deliveryMinor: 0 });
    const sum = (numbers: readonly number[]): number => numbers.reduce((a, b) => a + b, 0);
    expect(sum(responsibility.map(({ costMinor }) => costMinor))).toBe(remedy.costTotalMinor);
    for (const one of responsibility)
      expect(sum(one.amounts.map(({ amountMinor }) => amountMinor))).toBe(one.costMinor);
    // Refund 333.33 + freight 60.00 − 25 % of 400.00, in any unit: 33,333 + 6,000 − 10,000.
    expect(remedy.costTotalMinor).toBe(29_333);
  });

  it('asks a second person above 123.4567 in major units, cut to what the currency has', () => {
    const parameters: PolicyDocument['parameters'] = {
      ...WORKED_PARAMETERS,
      'second person above': { type: 'decimal', values: [{ from: '2020-01-01', value: '123.4567' }] },
    };
    const { secondPersonAboveMinor } = assessedIn(currency, {}, policyIn(currency, { parameters }));
    expect(secondPersonAboveMinor).toBe({ JPY: 123, EUR: 12_345, KWD: 123_456, CLF: 1_234_567 }[currency]);
  });

  it('shows the policy a price with its own digits', () => {
    const facts: PolicyDocument['facts'] = {
      ...workedPolicy().facts,
      'price paid': { type: 'decimal', min: '0', scale: digits },
    };
    const limit = shown(50_000);
    const byPrice = responsibilityBy(
      { price: 'price paid' },
      [rule('R-1', { price: `>= ${limit}` }, { mode: 'presumption', party: 'maker' })],
      { mode: 'presumption', party: 'carrier' },
    );
    const policy = workedPolicy(
      { responsibility: byPrice },
      { ...policyIn(currency), facts, decisions: workedPolicy({ responsibility: byPrice }).decisions },
    );
    const party = (priceMinor: number) =>
      assessedIn(currency, { priceMinor }, policy).responsibility[0]?.shares[0]?.party;
    expect([party(50_000), party(49_999)]).toEqual(['maker', 'carrier']);
  });

  it('is refused by a policy whose scale is not that of the currency', () => {
    const wrong = { ...policyIn(currency), money: { currency, scale: digits === 2 ? 3 : 2, rounding: 'half even' } };
    const outcome = compilePolicy(wrong);
    expect(outcome.ok ? [] : outcome.faults.map(({ detail }) => detail).join(' ')).toContain(
      `${currency} has ${digits}`,
    );
  });
});
