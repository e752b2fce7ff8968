import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { ready } from '../../../tests/support/small-policy.js';
import {
  WORKED_CHECKLIST,
  WORKED_EVIDENCE,
  WORKED_MODEL,
  workedClaim,
  workedPolicy,
} from '../../../tests/support/worked-claim.js';
import { aClaimFile } from '../../../tests/support/claim-file.js';
import { holidaysOf } from '../../platform/calendar/holidays.js';
import { shippedDocument } from '../../platform/files/shipped-documents.js';
import { compilePolicy, type CompiledPolicy } from '../../policies/policies.contract.js';
import { splitByWeight, WHOLE_BP } from '../../kernel/shares.js';
import { PARTIES } from '../../kernel/vocabulary.js';
import type { Responsibility, Transport } from '../adjudication.contract.js';
import { assess } from '../assessment.js';
import { recoveryPlan } from './recovery-plan.js';
import { partyAmounts } from './responsibility-shares.js';

function shipped(id: string): CompiledPolicy {
  const outcome = compilePolicy(shippedDocument('policy', id)?.json);
  if (!outcome.ok) throw new Error(JSON.stringify(outcome.faults));
  return outcome.policy;
}
const US = shipped('us-powered-furniture');

/** A matter that the carrier answers for alone, unless shares are given. */
function matter(
  costMinor: number,
  shares: Responsibility['shares'] = [{ party: 'carrier', bp: WHOLE_BP }],
): Responsibility {
  const amounts = partyAmounts(costMinor, shares);
  return { about: 'frame', mode: 'presumption', shares, costMinor, amounts, because: '', fired: [] };
}

/** 190 lb, as a freight bill would say. */
const GRAMS_OF_190_LB = 86_183;

function demanded(costMinor: number, transport: Transport | undefined, policy = US, delivered?: string) {
  const claim = aClaimFile(transport ? { transport } : {});
  const dated = delivered === undefined ? claim : { ...claim, events: { delivered }, asOf: delivered };
  const documents = { model: { ...WORKED_MODEL, currency: 'USD' }, policy, isHoliday: holidaysOf('US') };
  const plan = recoveryPlan(dated, documents, [matter(costMinor)], []);
  const carrier = plan.demands.find(({ party }) => party === 'carrier');
  if (!carrier) throw new Error('nothing is demanded of the carrier');
  return { plan, carrier };
}

const DOMESTIC = { regime: 'domestic road', agreedPerPoundMinor: 500, grossGrams: GRAMS_OF_190_LB } as const;

describe('a limit agreed with a carrier on the road (49 U.S.C. 14706(c)(1)(A))', () => {
  const agreed: Transport = { ...DOMESTIC, writtenAgreement: true, higherValueOffered: true };

  it('caps 1,180.00 at 950.00 and puts the 230.00 on the seller', () => {
    const { plan, carrier } = demanded(118_000, agreed);
    expect(carrier).toMatchObject({
      totalMinor: 95_000,
      cutMinor: 23_000,
      cap: { basis: 'declared', limitMinor: 95_000 },
    });
    expect(carrier.cap.source).toContain('14706(c)(1)(A)');
    expect(plan.demands.find(({ party }) => party === 'seller')).toMatchObject({ totalMinor: 23_000, lossMinor: 0 });
  });

  it('does not raise 600.00', () => {
    expect(demanded(60_000, agreed).carrier).toMatchObject({ totalMinor: 60_000, cutMinor: 0 });
  });

  it('is no limit without writing', () => {
    const { plan, carrier } = demanded(118_000, { ...DOMESTIC, writtenAgreement: false });
    expect(carrier).toMatchObject({ totalMinor: 118_000, cap: { basis: 'none' } });
    expect(plan.needs).toEqual([]);
  });

  it('is no limit where no higher value was offered, or after conversion (UCC 7-309(b))', () => {
    for (const change of [{ higherValueOffered: false }, { conversion: true }]) {
      expect(demanded(118_000, { ...agreed, ...change }).carrier).toMatchObject({
        totalMinor: 118_000,
        cap: { basis: 'none' },
      });
    }
  });

  it('is asked for, never guessed, while nobody says how the goods were carried', () => {
    const { plan, carrier } = demanded(118_000, undefined);
    expect(carrier).toMatchObject({ totalMinor: 118_000, cutMinor: 0, cap: { basis: 'not known', limitMinor: null } });
    expect(plan.needs.map(({ what }) => what)).toContain('transport');
  });
});

describe('a household move (49 CFR 375.201; STB released rates)', () => {
  it.each([
    // HHG-RELEASED: a 150 lb bed base worth 1,400.00 brings 90.00; 68,039 g are 150 lb.
    [true, { basis: 'released', limitMinor: 9_000 }, 9_000],
    [false, { basis: 'none' }, 140_000],
  ])('with full value waived in writing: %s', (writtenAgreement, cap, totalMinor) => {
    const { carrier } = demanded(140_000, { regime: 'household move', writtenAgreement, grossGrams: 68_039 });
    expect(carrier).toMatchObject({ cap, totalMinor });
  });
});

describe('conventions', () => {
  const rate = { rate: '1.3137', on: '2024-11-25', source: 'made up' };

  it('CMR art. 23(3): 65 kg bring 541.45 SDR, 711.30 at a made-up 1.3137', () => {
    const { carrier } = demanded(118_000, { regime: 'international road', grossGrams: 65_000, sdrRate: rate });
    expect(carrier).toMatchObject({ totalMinor: 71_130, cap: { sdr: '541.45', limitMinor: 71_130 } });
  });

  it('CMR art. 23(4): carriage charges come on top in proportion to the loss', () => {
    // Half of the price (899.90) was lost, so half of the 80.00 paid for carriage is added: 711.30 + 40.00.
    const sdrRate = { ...rate, rate: '0.5' };
    const transport: Transport = { regime: 'international road', grossGrams: 65_000, sdrRate, freightMinor: 8_000 };
    const { carrier } = demanded(44_995, transport);
    // 541.45 × 0.5 = 270.725, half up 270.73.
    expect(carrier).toMatchObject({ cap: { limitMinor: 27_073 + 4_000 }, totalMinor: 31_073 });
  });

  it('asks for the rate of the SDR and never guesses one', () => {
    const { plan, carrier } = demanded(118_000, { regime: 'international road', grossGrams: 65_000 });
    expect(carrier).toMatchObject({ totalMinor: 118_000, cap: { basis: 'not known' } });
    expect(plan.needs).toEqual([
      expect.objectContaining({ what: 'sdr rate', ask: expect.stringContaining('541.45 SDR') as unknown }),
    ]);
  });

  it.each([
    // Montreal Convention art. 22(3): the day of the event decides between the revisions.
    ['2019-12-27', '1235.00'],
    ['2019-12-28', '1430.00'],
    ['2024-12-27', '1430.00'],
    ['2024-12-28', '1690.00'],
    ['2009-12-29', '1105.00'],
    ['2009-12-30', '1235.00'],
  ])('Montreal art. 22(3): 65 kg damaged on %s bring %s SDR', (damagedOn, sdr) => {
    const transport: Transport = { regime: 'air', grossGrams: 65_000, damagedOn, sdrRate: { ...rate, rate: '1' } };
    expect(demanded(1_000_000, transport, US, `${damagedOn}T12:00:00Z`).carrier.cap).toMatchObject({ sdr });
  });

  it.each([
    [1, 80_000, '666.67'],
    [1, 400_000, '800.00'],
    [1, 6_000_000, '12000.00'],
    [120, 6_000_000, '80000.40'],
  ])('Hague-Visby art. IV r. 5(a): %i packages of %i g in all bring %s SDR', (packages, grossGrams, sdr) => {
    const transport: Transport = { regime: 'sea', packages, grossGrams, sdrRate: { ...rate, rate: '1' } };
    expect(demanded(1_000_000, transport).carrier.cap.sdr).toBe(sdr);
  });
});

describe('a recovery plan', () => {
  const parties = fc.uniqueArray(fc.constantFrom(...PARTIES), { minLength: 0, maxLength: 5 });
  const someMatter = fc.tuple(
    fc.nat({ max: 5_000_000 }),
    parties,
    fc.array(fc.integer({ min: 1, max: 99 }), { minLength: 5, maxLength: 5 }),
  );
  const transports: readonly (Transport | undefined)[] = [
    undefined,
    { ...DOMESTIC, writtenAgreement: true, higherValueOffered: true },
    { regime: 'household move', writtenAgreement: true },
    { regime: 'sea', sdrRate: { rate: '1.3', on: '2026-01-01', source: 'made up' } },
  ];

  it('adds up to the cost for any shares, limits and salvage, and never bills the customer', () => {
    fc.assert(
      fc.property(
        fc.array(someMatter, { maxLength: 4 }),
        fc.constantFrom(...transports),
        fc.nat({ max: 900_000 }),
        (made, transport, salvage) => {
          const matters = made.map(([cost, named, weights], index): Responsibility => {
            const bps =
              named.length === 0
                ? []
                : splitByWeight(
                    WHOLE_BP,
                    named.map((_, at) => weights[at] ?? 1),
                  );
            const shares = named.map((party, at) => ({ party, bp: bps[at] ?? 0 }));
            return { ...matter(cost, shares), about: `m${index}` };
          });
          const line = { id: 'salvage', says: '', amountMinor: -salvage, working: '', about: 'claim' };
          const claim = aClaimFile(transport ? { transport } : {});
          const documents = { model: { ...WORKED_MODEL, currency: 'USD' }, policy: US, isHoliday: holidaysOf('US') };
          const plan = recoveryPlan(claim, documents, matters, [line]);
          const total = plan.demands.reduce((sum, { totalMinor }) => sum + totalMinor, 0);
          const cost = matters.reduce((sum, { costMinor }) => sum + costMinor, 0);
          expect(total + plan.customerShareMinor + plan.unassignedMinor).toBe(cost);
          expect(plan.demands.map(({ party }) => party)).not.toContain('customer');
          for (const demand of plan.demands) {
            expect(demand.lines.reduce((sum, { amountMinor }) => sum + amountMinor, 0)).toBe(demand.totalMinor);
          }
        },
      ),
    );
  });

  it('stands in the assessment and leaves the rest of it as it was', () => {
    const inputs = {
      model: WORKED_MODEL,
      checklist: WORKED_CHECKLIST,
      evidenceModel: WORKED_EVIDENCE,
      policy: ready(workedPolicy()),
      isHoliday: holidaysOf('DE'),
    };
    const outcome = assess(workedClaim(), inputs);
    if (!outcome.ok) throw new Error(JSON.stringify(outcome.faults));
    const { recovery, remedy, needs, elements } = outcome.value;
    // A policy without the decision `cap` limits nobody.
    expect(recovery.demands.every(({ cap }) => cap.basis === 'none')).toBe(true);
    expect(recovery.demands.reduce((sum, { totalMinor }) => sum + totalMinor, 0)).toBe(remedy.costTotalMinor);
    expect(needs).toEqual([]);
    const carried = assess(workedClaim({ transport: { regime: 'none' } }), inputs);
    if (!carried.ok) throw new Error(JSON.stringify(carried.faults));
    // Where nobody carried the goods for hire there is no case against a carrier either.
    expect(carried.value.elements).toEqual([]);
    expect({ ...carried.value, recovery, elements }).toEqual(outcome.value);
  });

  it('is refused where a policy lets the customer, nobody or the limited party itself bear what is cut off', () => {
    for (const bearer of ['customer', 'carrier']) {
      const text = JSON.stringify(US.document)
        .replaceAll('"falls on":"seller"', `"falls on":"${bearer}"`)
        .replaceAll(
          '"falls on":{"type":"enum","values":["maker","seller","carrier","crew"]}',
          '"falls on":{"type":"enum","values":["customer","carrier"]}',
        );
      const compiled = compilePolicy({ ...(JSON.parse(text) as object), examples: [] });
      if (!compiled.ok) throw new Error(JSON.stringify(compiled.faults));
      expect(() =>
        demanded(1_000, { ...DOMESTIC, writtenAgreement: true, higherValueOffered: true }, compiled.policy),
      ).toThrow(`on the ${bearer}`);
    }
  });
});
