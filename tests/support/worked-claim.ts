import type { ClaimFile } from '../../src/adjudication/adjudication.contract.js';
import type { Model } from '../../src/catalogue/catalogue.contract.js';
import type { EvidenceModel } from '../../src/diagnosis/diagnosis.contract.js';
import type { Checklist } from '../../src/inspections/inspections.contract.js';
import type { OutcomeValue, PolicyDecision, PolicyDocument, PolicyRule } from '../../src/policies/policies.contract.js';
import { COMPONENTS, GROUNDS, ORIGINS, PARTIES, REMEDIES } from '../../src/kernel/vocabulary.js';
import { aClaimFile, photosOf } from './claim-file.js';
import { rule, smallDocument } from './small-policy.js';

/**
 * A chair with a dead motor and a missing leg, small enough to be worked out by hand.
 *
 * Drive: made with a dead motor (prior 1, shows dead 0.9) against knocked on the way (prior 3, 0.1): 0.9 to 0.3, so 0.75 and 0.25.
 * Contents: left out at packing (prior 1, legs short 0.8) against lost on the way (prior 1, 0.2): 0.8 and 0.2.
 */
export const WORKED_MODEL: Model = {
  sku: 'WK-1',
  title: 'Worked chair',
  family: 'lift chair',
  maker: 'Hand and Figures',
  grossGrams: 50_000,
  netGrams: 45_000,
  serialPattern: '^WK[0-9]{4}$',
  currency: 'EUR',
  unitCostMinor: 40_000,
  unitFreightMinor: 6_000,
  visitCostMinor: 9_000,
  salvageBp: 2_500,
  checklist: 'worked',
  evidenceModel: 'worked',
  parts: [
    part('M-1', 'motor', { priceMinor: 8_000, freightMinor: 700, failsAgainBp: 500 }),
    part('L-1', 'leg', { pieces: 4, priceMinor: 1_200, freightMinor: 300 }),
  ],
  warranty: [{ component: 'motor', fullMonths: 24, proRataMonths: 36 }],
};

function part(
  number: string,
  component: Model['parts'][number]['component'],
  changes: Partial<Model['parts'][number]>,
) {
  return {
    number,
    title: `Part ${number}`,
    component,
    pieces: 1,
    priceMinor: 0,
    freightMinor: 0,
    massGrams: 1_000,
    customerFits: true,
    failsAgainBp: 0,
    inStock: true,
    isSpare: true,
    ...changes,
  };
}

export const WORKED_CHECKLIST: Checklist = {
  format: 'checklist/1',
  id: 'worked',
  version: 1,
  family: 'lift chair',
  title: { en: 'Worked list' },
  cautions: [{ en: 'Lift with two.' }],
  sections: [
    {
      id: 'all',
      title: { en: 'All' },
      items: [
        { id: 'serial', ask: { en: 'Scan the serial.' }, answer: { type: 'scan', of: 'serial' } },
        {
          id: 'count',
          ask: { en: 'Count the pieces.' },
          answer: { type: 'count' },
          yields: [
            { when: { short: true, component: 'leg' }, observation: 'legs-short', sighting: 'present' },
            { when: { short: false, component: 'leg' }, observation: 'legs-short', sighting: 'absent' },
          ],
        },
        {
          id: 'dead',
          ask: { en: 'Is the motor dead?' },
          answer: { type: 'yes-no' },
          photos: [{ id: 'close', says: { en: 'The motor, close' }, when: { is: ['yes'] } }],
          yields: [
            { when: { is: ['yes'] }, observation: 'motor-dead', sighting: 'present' },
            { when: { is: ['no'] }, observation: 'motor-dead', sighting: 'absent' },
          ],
        },
        {
          id: 'hot',
          ask: { en: 'Is the supply hot?' },
          answer: { type: 'yes-no' },
          raises: [{ when: { is: ['yes'] }, stop: 'hot-supply' }],
        },
      ],
    },
  ],
  stops: [{ id: 'hot-supply', says: { en: 'Hot supply' }, do: [{ en: 'Keep away.' }] }],
};

const explanation = { severity: 'functional', grounds: 'made up' } as const;
const observation = { effortSeconds: 10, grounds: 'made up', check: { en: 'Look.' } };

export const WORKED_EVIDENCE: EvidenceModel = {
  format: 'evidence-model/1',
  id: 'worked',
  version: 1,
  family: 'lift chair',
  title: 'Worked model',
  basis: 'made up for a test',
  subjects: [
    { id: 'drive', title: { en: 'Drive' }, opensOn: ['motor-dead'] },
    { id: 'contents', title: { en: 'Contents' }, opensOn: ['legs-short'] },
  ],
  explanations: [
    {
      ...explanation,
      id: 'made',
      subject: 'drive',
      component: 'motor',
      fault: 'made dead',
      origin: 'manufacture',
      prior: 1,
    },
    {
      ...explanation,
      id: 'knocked',
      subject: 'drive',
      component: 'motor',
      fault: 'knocked',
      origin: 'transit',
      prior: 3,
    },
    {
      ...explanation,
      id: 'left-out',
      subject: 'contents',
      component: 'leg',
      fault: 'left out',
      origin: 'packing',
      prior: 1,
    },
    { ...explanation, id: 'lost', subject: 'contents', component: 'leg', fault: 'lost', origin: 'transit', prior: 1 },
  ],
  observations: [
    {
      ...observation,
      id: 'motor-dead',
      says: 'dead',
      item: 'dead',
      likelihoods: { made: 0.9, knocked: 0.1 },
      otherwise: { drive: 0.5 },
    },
    {
      ...observation,
      id: 'legs-short',
      says: 'short',
      item: 'count',
      likelihoods: { 'left-out': 0.8, lost: 0.2 },
      otherwise: { contents: 0.5 },
    },
  ],
};

/** A claim on the worked chair: motor dead, three legs of four counted. */
export function workedClaim(changes: Partial<ClaimFile> = {}): ClaimFile {
  const { wish: _none, ...rest } = aClaimFile();
  return {
    ...rest,
    title: 'Worked claim',
    jurisdiction: 'DE',
    zone: 'Europe/Berlin',
    documents: { checklist: 'worked', evidenceModel: 'worked', policy: 'worked' },
    order: {
      reference: 'W-1',
      placedOn: '2026-02-20',
      currency: 'EUR',
      priceMinor: 50_000,
      taxMinor: 9_500,
      deliveryMinor: 3_000,
    },
    unit: { sku: 'WK-1', serial: 'WK0001', opened: true },
    inspection: {
      startedAt: '2026-03-04T16:20:00+01:00',
      crewSize: 2,
      answers: [
        { item: 'serial', value: 'WK0001' },
        { item: 'count', value: { 'M-1': 1, 'L-1': 3 } },
        { item: 'dead', value: 'yes' },
        { item: 'hot', value: 'no' },
      ],
    },
    photos: photosOf(['dead', 'close'], ['count', 'wide']),
    ...changes,
  };
}

const FACTS: PolicyDocument['facts'] = {
  ground: { type: 'enum', values: GROUNDS },
  component: { type: 'enum', values: COMPONENTS, optional: true },
  origin: { type: 'enum', values: ORIGINS, optional: true },
  finding: { type: 'enum', values: ['settled', 'to a person', 'none'] },
  'evidence grade': { type: 'enum', values: ['strong', 'fair', 'weak'] },
  'steps followed': { type: 'boolean', optional: true, ask: 'Were the steps followed?' },
  'business days to notice': { type: 'integer', optional: true, ask: 'When was the carrier told?' },
  'safety stop': { type: 'boolean' },
  option: { type: 'enum', values: REMEDIES },
  wished: { type: 'boolean' },
  'delivered on': { type: 'date' },
};

function table(
  id: string,
  gives: PolicyDecision['gives'],
  columns: Readonly<Record<string, string>>,
  rules: readonly Pick<PolicyRule, 'id' | 'when' | 'then'>[],
  otherwise?: Readonly<Record<string, OutcomeValue>>,
): PolicyDecision {
  return { id, gives, table: { hit: 'first', columns, rules, ...(otherwise === undefined ? {} : { otherwise }) } };
}

const PROPORTIONAL = { mode: 'proportional', party: null };

/** The decisions of the worked policy; a test replaces the one it is about. */
export const WORKED_DECISIONS: Readonly<Record<string, PolicyDecision>> = {
  notice: table('notice', { notice: { type: 'enum', values: ['in time', 'late', 'not given'] } }, {}, [], {
    notice: 'in time',
  }),
  responsibility: responsibilityBy({}, [], PROPORTIONAL),
  'party for origin': table(
    'party for origin',
    { answers: { type: 'enum', values: [...PARTIES, 'nobody'] } },
    { origin: 'origin' },
    [rule('P-1', { origin: '"transit"' }, { answers: 'carrier' })],
    { answers: 'maker' },
  ),
  'remedy option': table(
    'remedy option',
    { admissible: { type: 'boolean' }, rank: { type: 'integer' } },
    { option: 'option', wished: 'wished' },
    [
      rule('O-1', { wished: 'true' }, { admissible: true, rank: 1 }),
      rule('O-2', { option: '"part"' }, { admissible: true, rank: 2 }),
      rule('O-3', { option: '"visit", "unit"' }, { admissible: true, rank: 3 }),
    ],
    { admissible: false, rank: 9 },
  ),
  terms: table(
    'terms',
    {
      'price percent': { type: 'decimal' },
      tax: { type: 'enum', values: ['full', 'proportional', 'none'] },
      delivery: { type: 'boolean' },
      'use deduction': { type: 'boolean' },
      'restocking percent': { type: 'decimal' },
      'allowance percent': { type: 'decimal' },
      'pro rata': { type: 'boolean' },
    },
    {},
    [],
    {
      'price percent': '100',
      tax: 'full',
      delivery: true,
      'use deduction': false,
      'restocking percent': '0',
      'allowance percent': '10',
      'pro rata': false,
    },
  ),
  safety: table(
    'safety',
    { hold: { type: 'boolean' }, report: { type: 'boolean' } },
    { stop: 'safety stop' },
    [rule('S-1', { stop: 'true' }, { hold: true, report: false })],
    { hold: false, report: false },
  ),
};

/** A responsibility table over these columns. */
export function responsibilityBy(
  columns: Readonly<Record<string, string>>,
  rules: readonly Pick<PolicyRule, 'id' | 'when' | 'then'>[],
  otherwise?: Readonly<Record<string, OutcomeValue>>,
): PolicyDecision {
  const mode = { type: 'enum', values: ['presumption', 'proportional', 'unassigned'] } as const;
  const party = { type: 'enum', values: PARTIES, optional: true } as const;
  return table('responsibility', { mode, party }, columns, rules, otherwise);
}

const number = (type: 'integer' | 'decimal', value: number | string): PolicyDocument['parameters'][string] => ({
  type,
  values: [{ from: '2020-01-01', value }],
});

/** The worked policy, with decisions and parts of the document replaced. */
export function workedPolicy(
  decisions: Readonly<Record<string, PolicyDecision>> = {},
  over: Partial<PolicyDocument> = {},
): PolicyDocument {
  return smallDocument(Object.values({ ...WORKED_DECISIONS, ...decisions }), {
    id: 'worked',
    facts: FACTS,
    parameters: WORKED_PARAMETERS,
    ...over,
  });
}

export const WORKED_PARAMETERS: PolicyDocument['parameters'] = {
  'bar probability': number('decimal', '0.6'),
  'bar margin decibans': number('decimal', '3'),
  'bar surprise': number('decimal', '0'),
  'worth bits': number('decimal', '0.01'),
  'share floor': number('integer', 500),
  'use life months': number('integer', 60),
  'second person above': number('decimal', '500'),
};
