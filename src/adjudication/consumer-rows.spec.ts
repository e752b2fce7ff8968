import { describe, expect, it } from 'vitest';
import { admitted, answering, decided, optionOf, shippedPolicy } from '../../tests/support/shipped-policy.js';
import { completedMonths } from '../kernel/days.js';
import type { Facts } from '../policies/policies.contract.js';
import { refundMoney, valueDifference, valueReduction, type PaidAndAge } from './domain/customer-money.js';
import { readTerms } from './domain/remedy-options.js';

/**
 * Published rules of sale and consumer law, put to the policies that come with the service. Each case names its law. The policies are
 * editable defaults; where one is kinder than the law, or uses a number of its own, the case says so.
 */

const US = shippedPolicy('us');
const EU = shippedPolicy('eu');
const UK = shippedPolicy('uk');

const paid = (changes: Partial<PaidAndAge['order']> = {}, rest: Partial<PaidAndAge> = {}): PaidAndAge => ({
  order: { currency: 'EUR', priceMinor: 120_000, taxMinor: 0, deliveryMinor: 0, ...changes },
  rounding: 'half even',
  ageMonths: 0,
  useLifeMonths: 60,
  warranty: undefined,
  ...rest,
});

/** Lines of a refund under a policy's terms for the facts given, by id. */
function refund(policy: typeof US, facts: Facts, of: PaidAndAge): Record<string, number> {
  const { outcomes } = decided(policy, ['terms'], { ...facts, option: 'refund' });
  const terms = readTerms(outcomes);
  if (terms === undefined) throw new Error('no terms');
  const money = refundMoney(terms, of, 'claim');
  if (!money.ok) throw new Error(money.problem);
  return Object.fromEntries(money.lines.map(({ id, amountMinor }) => [id, amountMinor]));
}

const months = (from: string, to: string): number =>
  completedMonths(Temporal.PlainDate.from(from), Temporal.PlainDate.from(to));

describe('Uniform Commercial Code, article 2', () => {
  const rejecting = { wished: true, 'days since delivery': 6 };

  it('2-601, 2-602: on day 6 the buyer may reject and choose the refund, or a replacement by way of cure', () => {
    expect(optionOf(US, 'refund', rejecting)).toMatchObject({ admissible: true, rank: 1, rule: 'OPT-US-60' });
    expect(optionOf(US, 'unit', rejecting)).toMatchObject({ admissible: true, rank: 1, rule: 'OPT-US-60' });
  });

  it('2-602: the reasonable time is 30 days by house rule; after it a refund is the last resort, not a choice', () => {
    expect(optionOf(US, 'refund', { ...rejecting, 'days since delivery': 30 }).rank).toBe(1);
    expect(optionOf(US, 'refund', { ...rejecting, 'days since delivery': 31 })).toMatchObject({
      rank: 5,
      rule: 'OPT-US-93',
    });
  });

  it('2-606: a clean receipt signed before the carton was opened is no acceptance', () => {
    const before = { ...rejecting, receipt: 'clean', noted: false, 'found at': 'unboxing' };
    expect(optionOf(US, 'refund', before)).toEqual(
      optionOf(US, 'refund', { ...before, receipt: 'refused', noted: true }),
    );
  });

  it('2-508: for a wrong item the seller may cure by the right one unless the buyer asks for the money', () => {
    const wrong = { ground: 'return', 'return reason': 'wrong item', component: null, origin: null, finding: 'none' };
    expect(admitted(US, wrong)).toEqual(['unit', 'refund']);
    expect(optionOf(US, 'refund', { ...wrong, wished: true }).rank).toBe(1);
  });

  it('2-714(2) against Directive (EU) 2019/771 art. 15: the same 1,000, 1,200 and 900 give 300.00 and 250.00', () => {
    const values = { promisedMinor: 120_000, actualMinor: 90_000 };
    const of = paid({ priceMinor: 100_000 });
    expect(valueDifference(values, of, 'claim')).toMatchObject({ ok: true, totalMinor: 30_000 });
    expect(valueReduction(values, { tax: 'none' }, of, 'claim')).toMatchObject({ ok: true, totalMinor: 25_000 });
  });

  it('2-714(2): goods worth more than warranted give nothing, and no value as warranted is no answer', () => {
    const of = paid();
    expect(valueDifference({ promisedMinor: 90_000, actualMinor: 120_000 }, of, 'claim')).toMatchObject({
      totalMinor: 0,
    });
    expect(valueDifference({ promisedMinor: 0, actualMinor: 1 }, of, 'claim')).toMatchObject({ ok: false });
  });

  it('2-719(2): repair alone fails of its purpose after failed repairs, and the remedies widen', () => {
    const once = { ground: 'warranty', 'failed repairs': 1, 'age months': 3 };
    const thrice = { ...once, 'failed repairs': 3 };
    expect(admitted(US, once)).toEqual(['part', 'visit', 'unit']);
    expect(admitted(US, thrice)).toEqual(['unit']);
    expect(admitted(US, { ...thrice, wished: true })).toEqual(expect.arrayContaining(['unit', 'refund']));
  });
});

describe('Magnuson-Moss Warranty Act', () => {
  const failed = { ground: 'warranty', 'failed repairs': 2, 'age months': 9 };

  it('15 U.S.C. 2304(a)(4): after the attempts the consumer elects refund or replacement, without a deduction', () => {
    for (const option of ['refund', 'unit']) {
      expect(optionOf(US, option, { ...failed, wished: true })).toMatchObject({ rank: 1, rule: 'OPT-US-61' });
    }
    const lines = refund(US, failed, paid({ currency: 'USD', priceMinor: 90_000 }, { ageMonths: 9 }));
    expect(lines).toEqual({ price: 90_000 });
  });

  it('15 U.S.C. 2301(10): where a replacement is possible and the consumer is silent, the warrantor cannot choose the refund', () => {
    const silent = { ground: 'warranty', 'age months': 9, wished: false };
    expect(optionOf(US, 'refund', silent)).toMatchObject({ admissible: false, rule: 'OPT-US-92' });
    expect(optionOf(US, 'refund', { ...silent, wished: true }).admissible).toBe(true);
  });

  it('15 U.S.C. 2301(12), from memory: a refund otherwise is less depreciation for actual use', () => {
    const lines = refund(
      US,
      { ground: 'warranty', 'age months': 9 },
      paid({ currency: 'USD', priceMinor: 90_000 }, { ageMonths: 9 }),
    );
    // Straight line over 60 months, a house rule: 900.00 × 9 ÷ 60.
    expect(lines).toMatchObject({ price: 90_000, 'use deduction': -13_500 });
  });
});

describe('Consumer Product Safety Act', () => {
  it('15 U.S.C. 2064(b): a hazard is raised whatever the sum, what is only ugly is not', () => {
    for (const policy of [US, EU, UK]) {
      for (const price of ['1', '100000']) {
        const unsafe = decided(policy, ['safety'], { severity: 'unsafe', 'price paid': price });
        expect(unsafe.outcomes).toEqual({ hold: true, report: true });
        const ugly = decided(policy, ['safety'], { severity: 'cosmetic', 'price paid': price });
        expect(ugly.outcomes).toEqual({ hold: false, report: false });
      }
    }
  });
});

describe('Directive (EU) 2019/771', () => {
  it.each([
    ['2025-05-09', 11, 'presumption: seller'],
    ['2025-05-11', 12, 'presumption: customer'],
  ])('art. 11(1): delivered 2024-05-10, the defect of %s at %i months is answered by %s', (on, age, expected) => {
    expect(months('2024-05-10', on)).toBe(age);
    const facts = { origin: 'use', 'evidence grade': 'fair', ground: 'warranty', 'age months': age };
    expect(answering(EU, { ...facts, 'delivered on': '2024-05-10' })).toBe(expected);
  });

  it('arts. 10(1), 24: liable for two years; on 2026-05-11 the seller is out of it, and before 2022 the burden turned at six months', () => {
    const age = months('2024-05-10', '2026-05-11');
    const late = { ground: 'warranty', cover: 'expired', 'age months': age, 'delivered on': '2024-05-10' };
    expect(admitted(EU, late)).toEqual(['none']);
    expect(admitted(EU, { ...late, 'age months': 23 })).not.toEqual(['none']);
    expect([EU.parameter('burden months', '2021-12-31'), EU.parameter('burden months', '2022-01-01')]).toEqual([
      '6',
      '12',
    ]);
  });

  it('art. 13(2): a scratched leg, first report: repair or replacement, no refund', () => {
    const scratched = { component: 'leg', severity: 'cosmetic', ground: 'damage' };
    expect(new Set(admitted(EU, scratched))).toEqual(new Set(['part', 'visit', 'unit']));
  });

  it('art. 13(4): a motor that is dead again after repair opens price reduction and termination', () => {
    const again = { ground: 'warranty', 'failed repairs': 1, 'age months': 4 };
    for (const option of ['refund', 'allowance']) {
      expect(optionOf(EU, option, again).admissible).toBe(option === 'refund');
      expect(optionOf(EU, option, { ...again, wished: true })).toMatchObject({ admissible: true, rank: 1 });
      expect(optionOf(EU, option, { ...again, 'failed repairs': 0, wished: true }).admissible).toBe(false);
    }
  });

  it('art. 13(5): a minor fault after a failed repair gives a reduction and no termination', () => {
    const minor = { severity: 'cosmetic', 'failed repairs': 1, ground: 'warranty', 'age months': 4 };
    for (const wished of [true, false]) {
      expect(optionOf(EU, 'refund', { ...minor, wished })).toMatchObject({ admissible: false, rule: 'OPT-EU-75' });
      expect(optionOf(EU, 'allowance', { ...minor, wished }).admissible).toBe(true);
    }
  });

  it('art. 14(1), (4): a replacement after eleven months costs the consumer nothing', () => {
    const { outcomes } = decided(EU, ['terms'], { option: 'unit', ground: 'warranty', 'age months': 11 });
    expect(outcomes).toMatchObject({ 'use deduction': false, 'restocking percent': '0', 'price percent': '0' });
  });
});

describe('Directive 2011/83/EU', () => {
  const changed = {
    ground: 'return',
    'return reason': 'change of mind',
    component: null,
    origin: null,
    finding: 'none',
  };

  it('arts. 9, 13, 14: within 14 days all of price, tax and delivery come back, and nothing is held for restocking', () => {
    expect(optionOf(EU, 'refund', { ...changed, 'days since delivery': 14 })).toMatchObject({
      admissible: true,
      rank: 1,
    });
    expect(optionOf(EU, 'refund', { ...changed, 'days since delivery': 15 }).admissible).toBe(false);
    const lines = refund(EU, changed, paid({ priceMinor: 100_000, taxMinor: 19_000, deliveryMinor: 4_000 }));
    expect(lines).toEqual({ price: 100_000, tax: 19_000, delivery: 4_000 });
  });

  it('CJEU C-681/17: a bed base that was unwrapped can still come back on day 9', () => {
    const unsealed = { ...changed, opened: true, 'days since delivery': 9 };
    expect(optionOf(EU, 'refund', unsealed)).toMatchObject({ admissible: true, rank: 1, rule: 'OPT-EU-10' });
  });
});

describe('Consumer Rights Act 2015', () => {
  it('s.22(3): the right to reject lasts to day 30 after delivery: 2025-04-02 for 2025-03-03', () => {
    const reject = (on: string) => {
      const days = Temporal.PlainDate.from('2025-03-03').until(on).days;
      return optionOf(UK, 'refund', { wished: true, 'days since delivery': days });
    };
    expect(reject('2025-04-02')).toMatchObject({ admissible: true, rank: 1, rule: 'OPT-UK-55' });
    expect(reject('2025-04-03')).toMatchObject({ admissible: false, rule: 'OPT-UK-79' });
  });

  it('s.19(14)-(15): a fault in month 5 is the trader’s unless shown otherwise; from month 6 on it is the consumer’s to show', () => {
    const facts = { origin: 'use', 'evidence grade': 'fair', ground: 'warranty' };
    expect(answering(UK, { ...facts, 'age months': 5 })).toBe('presumption: seller');
    expect(answering(UK, { ...facts, 'age months': 6 })).toBe('presumption: customer');
    // "Shown otherwise": strong evidence of misuse.
    expect(answering(UK, { ...facts, 'age months': 5, 'evidence grade': 'strong' })).toBe('presumption: customer');
  });

  it('s.24(5): one failed repair opens price reduction and final rejection, whatever the fault; none opens neither', () => {
    const facts = { ground: 'warranty', 'age months': 8, wished: true, 'days since delivery': 240 };
    for (const option of ['refund', 'allowance']) {
      expect(optionOf(UK, option, { ...facts, 'failed repairs': 1 })).toMatchObject({ admissible: true, rank: 1 });
      expect(optionOf(UK, option, { ...facts, 'failed repairs': 0 }).admissible).toBe(false);
    }
    expect(optionOf(UK, 'visit', { ...facts, wished: false, 'failed repairs': 1 })).toMatchObject({
      rule: 'OPT-UK-56',
    });
  });

  it.each([
    [5, { price: 120_000 }],
    [18, { price: 120_000, 'use deduction': -36_000 }],
  ])(
    's.24(8), (10): final rejection in month %i, straight line over 60 months by house rule: %j',
    (ageMonths, expected) => {
      const facts = { ground: 'warranty', 'failed repairs': 1, 'age months': ageMonths };
      expect(refund(UK, facts, paid({ currency: 'GBP' }, { ageMonths }))).toEqual(expected);
    },
  );

  it('s.29: damage on the way is never the consumer’s, whatever else is known', () => {
    const every = {
      'evidence grade': ['strong', 'fair', 'weak'],
      'origin condition': ['clean', 'exceptions', 'not known'],
      packaging: ['kept', 'thrown away', 'not known'],
      'impact indicator': ['tripped', 'intact'],
      'days to notice': [1, 30, null],
      noted: [true, false],
    } as const;
    const cases = Object.entries(every).reduce<Facts[]>(
      (list, [name, values]) => list.flatMap((facts) => values.map((value) => ({ ...facts, [name]: value }))),
      [{ origin: 'transit', ground: 'damage' }],
    );
    const answers = new Set(cases.map((facts) => answering(UK, facts)));
    expect(answers).toEqual(new Set(['presumption: carrier', 'proportional', 'unassigned']));
    const { outcomes } = decided(UK, ['party for origin'], { origin: 'transit' });
    expect(outcomes).toEqual({ answers: 'carrier' });
  });
});
