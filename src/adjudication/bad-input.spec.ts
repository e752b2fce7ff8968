import { describe, expect, it } from 'vitest';
import { ready, rule } from '../../tests/support/small-policy.js';
import {
  responsibilityBy,
  WORKED_CHECKLIST,
  WORKED_EVIDENCE,
  WORKED_MODEL,
  workedClaim,
  workedPolicy,
} from '../../tests/support/worked-claim.js';
import { shippedPolicy } from '../../tests/support/shipped-policy.js';
import { checkEvidenceModel } from '../diagnosis/diagnosis.contract.js';
import { holidaysOf } from '../platform/calendar/holidays.js';
import type { PolicyDocument } from '../policies/policies.contract.js';
import type { Assessment, ClaimFile, Transport } from './adjudication.contract.js';
import { assess, type AssessmentInputs } from './assessment.js';
import { readClaimFile } from './domain/read-claim-file.js';
import { recoveryPlan } from './domain/recovery-plan.js';

/** Input that cannot be right: each gets an answer in words or a question, never a number that was made up and never a crash. */

const BEYOND = 2 ** 53;
const inputs = (changes: Partial<AssessmentInputs> = {}): AssessmentInputs => ({
  model: WORKED_MODEL,
  checklist: WORKED_CHECKLIST,
  evidenceModel: WORKED_EVIDENCE,
  policy: ready(workedPolicy()),
  isHoliday: holidaysOf('DE'),
  ...changes,
});

/** What is said of a claim: its faults, or the reasons and questions of its assessment. */
function said(claim: ClaimFile, by: AssessmentInputs = inputs()): string {
  const outcome = assess(claim, by);
  if (!outcome.ok) return outcome.faults.map(({ pointer, detail }) => `${pointer} ${detail}`).join('\n');
  const { reasons, needs } = outcome.value;
  return [...reasons, ...needs.map(({ ask }) => ask)].join('\n');
}

function assessed(claim: ClaimFile, by: AssessmentInputs = inputs()): Assessment {
  const outcome = assess(claim, by);
  if (!outcome.ok) throw new Error(JSON.stringify(outcome.faults));
  return outcome.value;
}

const order = (changes: Partial<ClaimFile['order']>): ClaimFile =>
  workedClaim({ order: { ...workedClaim().order, ...changes } });
const at = (changes: ClaimFile['events']): ClaimFile =>
  workedClaim({ events: { ...workedClaim().events, ...changes } });

describe('a claim that was put together and not read', () => {
  it.each<[string, ClaimFile, string]>([
    ['a price of nothing', order({ priceMinor: 0 }), '#/order/priceMinor The price paid must be above 0.'],
    ['a price below nothing', order({ priceMinor: -1 }), '#/order/priceMinor'],
    ['a price just inside 2^53', order({ priceMinor: BEYOND - 1 }), '#/order/priceMinor The amount 9007199254740991'],
    ['a price beyond 2^53', order({ priceMinor: BEYOND }), '#/order/priceMinor'],
    ['half a cent', order({ priceMinor: 100.5 }), '#/order/priceMinor The amount 100.5 is not a whole number'],
    ['tax beyond what sums exactly', order({ taxMinor: BEYOND - 1 }), '#/order/taxMinor'],
    ['a delivery fee below nothing', order({ deliveryMinor: -5 }), '#/order/deliveryMinor'],
    ['a currency that is none', order({ currency: 'ZZZ' }), '#/order/currency The order is in ZZZ'],
    ['a metal for a currency', order({ currency: 'XAU' }), '#/order/currency The order is in XAU'],
    ['delivery after filing', at({ delivered: '2026-03-06T10:00:00+01:00' }), '#/events/filed "filed" lies before'],
    [
      'delivery after the day of judging',
      at({ delivered: '2030-01-01T00:00:00Z' }),
      '#/asOf The claim is judged as of',
    ],
    ['no delivery', workedClaim({ events: {} }), '#/events/delivered Say when the goods were delivered'],
    ['a zone of no place', workedClaim({ zone: 'Mars/Base' }), '#/zone "Mars/Base" is not a time zone'],
    ['an instant that is none', at({ noticed: 'yesterday' }), '#/events/noticed "yesterday" is not an instant'],
    ['a day of judging that is none', workedClaim({ asOf: 'now' }), '#/asOf "now" is not an instant'],
  ])('with %s is answered in words', (_says, claim, expected) => {
    expect(said(claim)).toContain(expected);
  });

  it('is refused alike when it comes as a file, apart from what only the documents know', () => {
    for (const claim of [order({ priceMinor: 0 }), order({ priceMinor: BEYOND - 1 }), order({ currency: 'ZZZ' })]) {
      expect(readClaimFile(claim).ok).toBe(false);
    }
  });
});

describe('a model', () => {
  it.each<[string, Partial<AssessmentInputs['model']>, string]>([
    ['with a cost near 2^53', { unitCostMinor: BEYOND - 1 }, '#/model/unitCostMinor'],
    ['with freight near 2^53', { unitFreightMinor: BEYOND - 1 }, '#/model/unitFreightMinor'],
    ['with a visit near 2^53', { visitCostMinor: BEYOND - 1 }, '#/model/visitCostMinor'],
    [
      'with a part near 2^53',
      { parts: WORKED_MODEL.parts.map((part) => ({ ...part, priceMinor: BEYOND - 1 })) },
      '#/model/parts/0/priceMinor',
    ],
  ])('%s is answered in words', (_says, changes, expected) => {
    expect(said(workedClaim(), inputs({ model: { ...WORKED_MODEL, ...changes } }))).toContain(expected);
  });

  it('with no warranty for the component is covered by none, and says nothing else', () => {
    const model = { ...WORKED_MODEL, warranty: [] };
    const byCover: PolicyDocument = workedPolicy(
      {
        responsibility: responsibilityBy(
          { cover: 'cover' },
          [rule('R-NONE', { cover: '"none"' }, { mode: 'unassigned', party: null })],
          { mode: 'presumption', party: 'maker' },
        ),
      },
      { facts: { ...workedPolicy().facts, cover: { type: 'enum', values: ['full', 'pro rata', 'expired', 'none'] } } },
    );
    const by = inputs({ model, policy: ready(byCover) });
    expect(assessed(workedClaim(), by).responsibility[0]).toMatchObject({ mode: 'unassigned' });
    expect(said(workedClaim(), by)).toContain('Nobody is named to answer for drive');
  });

  it('that refunds pro rata without a warranty has no amount, and says why', () => {
    const { terms } = Object.fromEntries(workedPolicy().decisions.map((one) => [one.id, one]));
    const otherwise = { ...terms?.table?.otherwise, 'pro rata': true };
    const table = { hit: 'first', columns: {}, rules: [], otherwise } as const;
    const policy = ready(workedPolicy({ terms: { ...terms, id: 'terms', gives: terms?.gives ?? {}, table } }));
    const { remedy } = assessed(
      workedClaim({ wish: 'refund' }),
      inputs({ policy, model: { ...WORKED_MODEL, warranty: [] } }),
    );
    const refund = remedy.options.find((option) => option.remedy === 'refund');
    expect(refund).toMatchObject({ admissible: false });
    expect(refund?.because).toContain('names no warranty');
    expect(remedy.customerTotalMinor).toBe(0);
  });
});

describe('answers that contradict each other', () => {
  it('are named, each by its place', () => {
    const { inspection } = workedClaim();
    const twice = { ...inspection, answers: [...inspection.answers, { item: 'dead', value: 'no' }] };
    expect(said(workedClaim({ inspection: twice }))).toContain('#/inspection/answers/4/item "dead" is answered twice');
  });

  it('that fit no explanation go to a person', () => {
    const surprise = { type: 'decimal', values: [{ from: '2020-01-01', value: '0.5' }] } as const;
    const policy = ready(workedPolicy({}, { parameters: { ...workedPolicy().parameters, 'bar surprise': surprise } }));
    const { inspection } = workedClaim();
    const knocked = {
      ...WORKED_EVIDENCE,
      explanations: WORKED_EVIDENCE.explanations.map((one) => ({
        ...one,
        prior: one.id === 'knocked' ? 1e6 : one.prior,
      })),
    };
    expect(said(workedClaim({ inspection }), inputs({ policy, evidenceModel: knocked }))).toContain(
      'fits even the best explanation badly',
    );
  });
});

describe('an evidence model that does not fit', () => {
  const renamed = {
    ...WORKED_EVIDENCE,
    observations: WORKED_EVIDENCE.observations.map((one) =>
      one.id === 'legs-short' ? { ...one, id: 'legs-gone' } : one,
    ),
    subjects: WORKED_EVIDENCE.subjects.map((one) => (one.id === 'contents' ? { ...one, opensOn: ['legs-gone'] } : one)),
  };

  it('is refused when it is put beside its checklist', () => {
    const outcome = checkEvidenceModel(renamed, WORKED_CHECKLIST);
    const words = outcome.ok ? '' : outcome.faults.map(({ detail }) => detail).join('\n');
    expect(words).toContain('yields "legs-short", which the model does not weigh');
    expect(words).toContain('No item of the checklist "worked" yields "legs-gone"');
  });

  it('sends the claim to a person where it was put beside it all the same', () => {
    const assessment = assessed(workedClaim(), inputs({ evidenceModel: renamed }));
    expect(assessment.verdict).toBe('to a person');
    expect(assessment.reasons.join('\n')).toContain('yields "legs-short", which the evidence model does not weigh');
  });

  it.each([0, 1, -0.1, 1.5, Number.NaN])('is refused for a likelihood of %s', (chance) => {
    const impossible = {
      ...WORKED_EVIDENCE,
      observations: WORKED_EVIDENCE.observations.map((one) =>
        one.id === 'motor-dead' ? { ...one, likelihoods: { ...one.likelihoods, made: chance } } : one,
      ),
    };
    expect(said(workedClaim(), inputs({ evidenceModel: impossible }))).toContain(
      '#/documents/evidenceModel The evidence model has',
    );
  });
});

describe('a region', () => {
  it('that nobody knows is not counted in business days, and the table is asked for', () => {
    const { clocks } = shippedPolicy('us').document;
    const policy = ready(
      workedPolicy(
        {},
        {
          clocks:
            clocks
              ?.filter(({ id }) => id === 'CLK-US-SAFETY' || id === 'CLK-US-CONCEALED')
              .map((clock) => ({ ...clock, length: 5, safetyOnly: false })) ?? [],
        },
      ),
    );
    const claim = workedClaim({ jurisdiction: 'ZZ', delivery: { ...workedClaim().delivery, receipt: 'clean' } });
    const assessment = assessed(claim, inputs({ policy, isHoliday: holidaysOf('ZZ') }));
    expect(assessment.needs.map(({ what }) => what)).toContain('public holidays');
    expect(assessment.clocks.find(({ id }) => id === 'CLK-US-CONCEALED')).toMatchObject({
      lastDay: null,
      endsAt: null,
    });
    expect(said(claim, inputs({ policy }))).toContain('written for DE, but the goods were delivered in ZZ');
  });

  it('of a country that is known, but not its part, has no table either', () => {
    expect(holidaysOf('DE-ZZ')(Temporal.PlainDate.from('2026-03-04'))).toBe('no data');
    expect(holidaysOf('DE')(Temporal.PlainDate.from('2150-03-04'))).toBe('no data');
  });
});

describe('a limit of liability beyond what can be kept exactly', () => {
  const rate = { rate: '999999999.999999999', on: '2026-03-04', source: 'a slip of the hand' };
  const written = { writtenAgreement: true, higherValueOffered: true } as const;

  it.each<[string, Transport]>([
    ['by the pound', { regime: 'domestic road', ...written, agreedPerPoundMinor: 1e10, grossGrams: 1e9 }],
    ['in special drawing rights by the kilogram', { regime: 'air', grossGrams: 1e9, sdrRate: rate }],
    ['by the package', { regime: 'sea', packages: 100_000, grossGrams: 1e9, sdrRate: rate }],
    ['with the carriage charges', { regime: 'international road', freightMinor: 1e10, grossGrams: 1e9, sdrRate: rate }],
  ])('%s cuts nothing off and is asked for again', (_says, transport) => {
    const claim = { ...workedClaim({ transport }), order: { ...workedClaim().order, currency: 'USD' } };
    const share = { mode: 'presumption', because: '', fired: [], shares: [{ party: 'carrier', bp: 10_000 }] } as const;
    const owed = {
      ...share,
      about: 'drive',
      costMinor: 5_000,
      amounts: [{ party: 'carrier', amountMinor: 5_000 }],
    } as const;
    const line = { id: 'unit', says: 'Unit', amountMinor: 5_000, working: '50.00', about: 'drive' };
    const plan = recoveryPlan(
      claim,
      { model: { ...WORKED_MODEL, currency: 'USD' }, policy: shippedPolicy('us'), isHoliday: () => false },
      [owed],
      [line],
    );
    expect(plan.demands[0]).toMatchObject({
      totalMinor: 5_000,
      cutMinor: 0,
      cap: { basis: 'not known', limitMinor: null },
    });
    expect(plan.needs.map(({ what }) => what)).toEqual([expect.stringMatching(/^(limit|declared value)$/)]);
  });
});
