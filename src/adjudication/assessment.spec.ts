import fc from 'fast-check';
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
import { checkEvidenceModel } from '../diagnosis/diagnosis.contract.js';
import { checkChecklist } from '../inspections/inspections.contract.js';
import { holidaysOf } from '../platform/calendar/holidays.js';
import type { PolicyDocument } from '../policies/policies.contract.js';
import type { Assessment, ClaimFile } from './adjudication.contract.js';
import { assess, type AssessmentInputs } from './assessment.js';

const inputs = (
  policy: PolicyDocument = workedPolicy(),
  changes: Partial<AssessmentInputs> = {},
): AssessmentInputs => ({
  model: WORKED_MODEL,
  checklist: WORKED_CHECKLIST,
  evidenceModel: WORKED_EVIDENCE,
  policy: ready(policy),
  isHoliday: holidaysOf('DE'),
  ...changes,
});

function assessed(claim: ClaimFile, by: AssessmentInputs = inputs()): Assessment {
  const outcome = assess(claim, by);
  if (!outcome.ok) throw new Error(JSON.stringify(outcome.faults));
  return outcome.value;
}

function faultsOf(claim: ClaimFile, by: AssessmentInputs = inputs()): string[] {
  const outcome = assess(claim, by);
  if (outcome.ok) throw new Error('expected faults');
  return outcome.faults.map(({ pointer }) => pointer);
}

const shares = ({ responsibility }: Assessment) =>
  Object.fromEntries(
    responsibility.map(({ about, shares }) => [about, shares.map(({ party, bp }) => `${party} ${bp}`)]),
  );

const answersWith = (changes: Readonly<Record<string, ClaimFile['inspection']['answers'][number]['value']>>) => ({
  ...workedClaim().inspection,
  answers: workedClaim().inspection.answers.map(({ item, value }) => ({ item, value: changes[item] ?? value })),
});

describe('the worked documents', () => {
  it('are in order, as their own modules judge them', () => {
    expect(checkChecklist(WORKED_CHECKLIST)).toMatchObject({ ok: true });
    expect(checkEvidenceModel(WORKED_EVIDENCE, WORKED_CHECKLIST)).toMatchObject({ ok: true });
  });
});

describe('the worked claim, by hand', () => {
  const assessment = assessed(workedClaim());

  it('finds the drive dead from making with 0.75 and the leg left out at packing with 0.8', () => {
    expect(assessment.findings.map(({ subject, leading }) => [subject, leading.fault])).toEqual([
      ['drive', 'made dead'],
      ['contents', 'left out'],
    ]);
    expect(assessment.findings[0]?.leading.probability).toBeCloseTo(0.75, 12);
    expect(assessment.findings[1]?.leading.probability).toBeCloseTo(0.8, 12);
  });

  it('shares each finding by its origins', () => {
    expect(shares(assessment)).toEqual({
      drive: ['maker 7500', 'carrier 2500'],
      contents: ['maker 8000', 'carrier 2000'],
    });
  });

  it('sends a motor and one leg: 80.00 + 7.00 and 12.00 + 3.00, which is 102.00', () => {
    expect(assessment.remedy.chosen.map(({ remedy, about, parts }) => [remedy, about, parts])).toEqual([
      ['part', ['drive'], [{ number: 'M-1', pieces: 1 }]],
      ['part', ['contents'], [{ number: 'L-1', pieces: 1 }]],
    ]);
    expect(assessment.remedy.costLines.map(({ id, amountMinor }) => [id, amountMinor])).toEqual([
      ['part M-1', 8_000],
      ['part freight M-1', 700],
      ['part L-1', 1_200],
      ['part freight L-1', 300],
    ]);
    expect(assessment.remedy.costTotalMinor).toBe(10_200);
    expect(assessment.remedy.customerTotalMinor).toBe(0);
  });

  it('puts 65.25 and 21.75 of the motor and 12.00 and 3.00 of the leg on maker and carrier', () => {
    expect(
      assessment.responsibility.map(({ costMinor, amounts }) => [
        costMinor,
        amounts.map(({ amountMinor }) => amountMinor),
      ]),
    ).toEqual([
      [8_700, [6_525, 2_175]],
      [1_500, [1_200, 300]],
    ]);
  });

  it('ranks by expected cost: the motor with its 5 % chance to fail again of a unit at 460.00 is 110.00', () => {
    const option = (remedy: string) =>
      assessment.remedy.options.find((one) => one.about === 'drive' && one.remedy === remedy);
    // 80.00 + 7.00 + 0.05 × 460.00; 90.00 + 23.00; 400.00 + 60.00 − 25 % of 400.00.
    expect(option('part')?.expectedCostMinor).toBe(11_000);
    expect(option('visit')?.expectedCostMinor).toBe(11_300);
    expect(option('unit')?.expectedCostMinor).toBe(36_000);
  });

  it('proposes by itself', () => {
    expect(assessment).toMatchObject({ verdict: 'proposed', reasons: [], needs: [], secondPersonAboveMinor: 50_000 });
  });

  it('names every rule that fired, by decision', () => {
    expect(assessment.rules).toEqual([
      'notice/otherwise',
      'responsibility/otherwise',
      'party for origin/otherwise',
      'party for origin/P-1',
      'remedy option/otherwise',
      'remedy option/O-2',
      'remedy option/O-3',
      'safety/otherwise',
    ]);
  });

  it('is the same whatever the order of the answers', () => {
    const turned = workedClaim({
      inspection: { ...workedClaim().inspection, answers: workedClaim().inspection.answers.toReversed() },
    });
    expect(assessed(turned)).toEqual(assessment);
  });
});

describe('a refund', () => {
  const assessment = assessed(workedClaim({ wish: 'refund' }));

  it('ends the matter for every finding: 500.00 + 95.00 + 30.00 to the customer', () => {
    expect(assessment.remedy.chosen).toMatchObject([{ remedy: 'refund', about: ['drive', 'contents'] }]);
    expect(assessment.remedy.customerLines.map(({ id, amountMinor, about }) => [id, amountMinor, about])).toEqual([
      ['price', 50_000, 'claim'],
      ['tax', 9_500, 'claim'],
      ['delivery', 3_000, 'claim'],
    ]);
  });

  it('costs 625.00 + 60.00 − 100.00, half to each finding, with the odd cent to the earlier party', () => {
    expect(assessment.remedy.costTotalMinor).toBe(58_500);
    // 292.50 × 0.75 is 219.375: a tie of remainders goes to the party that comes first.
    expect(
      assessment.responsibility.map(({ costMinor, amounts }) => [
        costMinor,
        amounts.map(({ amountMinor }) => amountMinor),
      ]),
    ).toEqual([
      [29_250, [21_938, 7_312]],
      [29_250, [23_400, 5_850]],
    ]);
  });
});

describe('responsibility', () => {
  const presumed = responsibilityBy({}, [], { mode: 'presumption', party: 'carrier' });

  it('gives one party all of it on a presumption', () => {
    const assessment = assessed(workedClaim(), inputs(workedPolicy({ responsibility: presumed })));
    expect(shares(assessment)).toEqual({ drive: ['carrier 10000'], contents: ['carrier 10000'] });
    expect(assessment.responsibility[0]?.amounts).toEqual([{ party: 'carrier', amountMinor: 8_700 }]);
  });

  it('is nobody’s while a fact is not known, and the fact is asked for', () => {
    const bySteps = responsibilityBy({ steps: 'steps followed' }, [
      rule('R-1', { steps: 'true' }, { mode: 'presumption', party: 'maker' }),
      rule('R-2', { steps: 'false' }, { mode: 'presumption', party: 'crew' }),
    ]);
    const by = inputs(workedPolicy({ responsibility: bySteps }));
    const open = assessed(workedClaim({ stepsFollowed: null }), by);
    expect(shares(open)).toEqual({ drive: [], contents: [] });
    expect(open.responsibility[0]).toMatchObject({ mode: 'unassigned', amounts: [], costMinor: 8_700 });
    expect(open.needs).toMatchObject([{ what: 'steps followed', ask: 'Were the steps followed?' }]);
    expect(open.verdict).toBe('to a person');
    expect(shares(assessed(workedClaim({ stepsFollowed: false }), by))).toEqual({
      drive: ['crew 10000'],
      contents: ['crew 10000'],
    });
  });

  it('is nobody’s where no rule speaks', () => {
    const silent = responsibilityBy({ ground: 'ground' }, [
      rule('R-1', { ground: '"return"' }, { mode: 'presumption', party: 'customer' }),
    ]);
    const assessment = assessed(workedClaim(), inputs(workedPolicy({ responsibility: silent })));
    expect(assessment.responsibility.map(({ mode }) => mode)).toEqual(['unassigned', 'unassigned']);
    expect(assessment.reasons.join(' ')).toContain('No rule of the policy speaks');
  });

  it('folds a share under the floor into the largest', () => {
    const floored = workedPolicy(
      {},
      {
        parameters: {
          ...WORKED_PARAMETERS,
          'share floor': { type: 'integer', values: [{ from: '2020-01-01', value: 2_100 }] },
        },
      },
    );
    expect(shares(assessed(workedClaim(), inputs(floored)))).toEqual({
      drive: ['maker 7500', 'carrier 2500'],
      contents: ['maker 10000'],
    });
  });

  it('asks for the photo still owed where nobody can be named', () => {
    const noOne = responsibilityBy({}, [], { mode: 'unassigned', party: null });
    const assessment = assessed(workedClaim({ photos: [] }), inputs(workedPolicy({ responsibility: noOne })));
    expect(assessment.needs).toMatchObject([{ what: 'photo dead/close', ask: 'Take this photo: The motor, close.' }]);
  });
});

describe('evidence grades', () => {
  const grade = (claim: ClaimFile) => assessed(claim).findings[0]?.evidenceGrade;

  it('are strong with every demanded photo and the right serial, weak without a photo, fair in between', () => {
    expect(grade(workedClaim())).toBe('strong');
    expect(grade(workedClaim({ photos: [] }))).toBe('weak');
    expect(grade(workedClaim({ photos: workedClaim().photos.map((photo) => ({ ...photo, shows: 'wide' })) }))).toBe(
      'fair',
    );
    expect(grade(workedClaim({ inspection: answersWith({ serial: 'WK0002' }) }))).toBe('fair');
  });
});

describe('a return and a claim without a finding', () => {
  it('are one matter of their own', () => {
    const inspection = answersWith({ count: { 'M-1': 1, 'L-1': 4 }, dead: 'no' });
    const returned = assessed(
      workedClaim({ ground: 'return', returnReason: 'change of mind', inspection, wish: 'refund' }),
    );
    expect(returned.responsibility.map(({ about }) => about)).toEqual(['claim']);
    expect(returned.remedy.chosen).toMatchObject([{ remedy: 'refund', about: ['claim'] }]);
    const nothing = assessed(workedClaim({ inspection }));
    expect(nothing.responsibility).toMatchObject([{ about: 'claim', mode: 'unassigned' }]);
    expect(nothing.verdict).toBe('to a person');
  });
});

describe('safety', () => {
  it('holds the claim when a stop was raised, and says what to do', () => {
    const assessment = assessed(workedClaim({ inspection: answersWith({ hot: 'yes' }) }));
    expect(assessment.safetyStops).toEqual(['hot-supply']);
    expect(assessment.verdict).toBe('to a person');
    expect(assessment.caution).toMatch(/never open a motor, a supply or a battery/);
  });

  it('always says that it is no legal advice', () => {
    expect(assessed(workedClaim()).caution).toMatch(/Not legal advice/);
  });
});

describe('what contradicts the documents', () => {
  it.each<[string, Partial<ClaimFile>, string]>([
    [
      'an order in another currency than model and policy',
      { order: { ...workedClaim().order, currency: 'USD' } },
      '#/order/currency',
    ],
    ['a serial of another pattern', { unit: { ...workedClaim().unit, serial: 'WK00012' } }, '#/unit/serial'],
    [
      'an answer to an unknown item',
      { inspection: { ...workedClaim().inspection, answers: [{ item: 'colour', value: 'red' }] } },
      '#/inspection/answers/0/item',
    ],
    [
      'a part that is not in the carton',
      { inspection: answersWith({ count: { 'X-1': 1 } }) },
      '#/inspection/answers/1/value/X-1',
    ],
    [
      'a photo of an unknown item',
      { photos: workedClaim().photos.map((photo) => ({ ...photo, item: 'roof' })) },
      '#/photos/0/item',
    ],
  ])('is %s', (_says, changes, pointer) => {
    expect(faultsOf(workedClaim(changes))).toContain(pointer);
  });

  it.each<[string, Partial<ClaimFile>, string]>([
    ['no delivery', { events: { noticed: '2026-03-04T16:40:00+01:00' } }, '#/events/delivered'],
    ['a price of nothing', { order: { ...workedClaim().order, priceMinor: 0 } }, '#/order/priceMinor'],
  ])('is %s, also where the claim file was not read but put together', (_says, changes, pointer) => {
    expect(faultsOf(workedClaim(changes))).toEqual([pointer]);
  });

  it('is a policy without a decision, a parameter or the right government', () => {
    const { safety: _gone, ...decisions } = Object.fromEntries(workedPolicy().decisions.map((one) => [one.id, one]));
    const without: PolicyDocument = { ...workedPolicy(), decisions: Object.values(decisions) };
    expect(faultsOf(workedClaim(), inputs(without))).toEqual(['#/documents/policy']);
    const { 'share floor': _floor, ...parameters } = WORKED_PARAMETERS;
    expect(faultsOf(workedClaim(), inputs(workedPolicy({}, { parameters })))).toEqual(['#/documents/policy']);
  });

  it('is a checklist or evidence model of another family', () => {
    const family = 'powered bed base';
    expect(faultsOf(workedClaim(), inputs(workedPolicy(), { checklist: { ...WORKED_CHECKLIST, family } }))).toEqual([
      '#/documents/checklist',
    ]);
    expect(faultsOf(workedClaim(), inputs(workedPolicy(), { evidenceModel: { ...WORKED_EVIDENCE, family } }))).toEqual([
      '#/documents/evidenceModel',
    ]);
  });

  it('is a fact that the policy does not allow', () => {
    const narrow = workedPolicy(
      {},
      { facts: { ...workedPolicy().facts, ground: { type: 'enum', values: ['return'] } } },
    );
    expect(faultsOf(workedClaim(), inputs(narrow))).toEqual(['#/documents/policy']);
  });
});

describe('what is not known', () => {
  it('is asked for where holidays have no table and the policy counts business days', () => {
    const late = responsibilityBy(
      { days: 'business days to notice' },
      [rule('R-1', { days: '<= 5' }, { mode: 'presumption', party: 'carrier' })],
      { mode: 'unassigned', party: null },
    );
    const clocks: PolicyDocument['clocks'] = [
      {
        id: 'C',
        title: 'Notice',
        ground: 'g',
        source: 's',
        starts: 'delivered',
        length: 5,
        unit: 'business days',
        stops: 'notice to carrier',
        lapse: 'burden shifts',
        owedBy: 'seller',
      },
    ];
    const policy = workedPolicy({ responsibility: late }, { clocks });
    const nowhere = assessed(workedClaim(), inputs(policy, { isHoliday: holidaysOf('ZZ') }));
    expect(nowhere.needs.map(({ what }) => what)).toEqual(['business days to notice', 'public holidays']);
    expect(nowhere.clocks[0]).toMatchObject({ state: 'running', lastDay: null });
    const here = assessed(workedClaim(), inputs(policy));
    expect(shares(here)).toEqual({ drive: ['carrier 10000'], contents: ['carrier 10000'] });
    expect(here.clocks[0]).toMatchObject({ state: 'met', lastDay: '2026-03-11' });
  });

  it('takes a second person for every amount where the policy names none, and says so', () => {
    const { 'second person above': _none, ...parameters } = WORKED_PARAMETERS;
    const assessment = assessed(workedClaim(), inputs(workedPolicy({}, { parameters })));
    expect(assessment.secondPersonAboveMinor).toBe(0);
    expect(assessment.verdict).toBe('to a person');
  });

  it('goes to a person where the policy was written for another place', () => {
    expect(assessed(workedClaim({ jurisdiction: 'FR' })).reasons.join(' ')).toContain('written for DE');
    expect(assessed(workedClaim({ jurisdiction: 'DE-BY' })).verdict).toBe('proposed');
  });
});

describe('for any amounts, wish and spares', () => {
  it('lines sum to totals, findings to the cost, parties to the finding, shares to 10,000', () => {
    const by = inputs();
    fc.assert(
      fc.property(
        fc.record({
          priceMinor: fc.integer({ min: 1, max: 10_000_000 }),
          taxMinor: fc.integer({ min: 0, max: 2_000_000 }),
          wish: fc.constantFrom<NonNullable<ClaimFile['wish']>[]>(
            'refund',
            'allowance',
            'part',
            'unit',
            'visit',
            'none',
          ),
          unitCostMinor: fc.integer({ min: 1, max: 10_000_000 }),
          salvageBp: fc.integer({ min: 0, max: 10_000 }),
          legs: fc.integer({ min: 0, max: 4 }),
        }),
        ({ priceMinor, taxMinor, wish, unitCostMinor, salvageBp, legs }) => {
          const claim = workedClaim({
            wish,
            order: { ...workedClaim().order, priceMinor, taxMinor },
            inspection: answersWith({ count: { 'M-1': 1, 'L-1': legs } }),
          });
          const { remedy, responsibility } = assessed(claim, {
            ...by,
            model: { ...WORKED_MODEL, unitCostMinor, salvageBp },
          });
          const sum = (numbers: readonly number[]): number => numbers.reduce((a, b) => a + b, 0);
          expect(sum(remedy.customerLines.map(({ amountMinor }) => amountMinor))).toBe(remedy.customerTotalMinor);
          expect(sum(remedy.costLines.map(({ amountMinor }) => amountMinor))).toBe(remedy.costTotalMinor);
          expect(sum(responsibility.map(({ costMinor }) => costMinor))).toBe(remedy.costTotalMinor);
          for (const { costMinor, amounts, shares } of responsibility) {
            expect(sum(amounts.map(({ amountMinor }) => amountMinor))).toBe(costMinor);
            expect(sum(shares.map(({ bp }) => bp))).toBe(10_000);
          }
          expect(remedy.costTotalMinor).toBeGreaterThanOrEqual(0);
        },
      ),
      { numRuns: 60 },
    );
  });
});
