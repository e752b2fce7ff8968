import { describe, expect, it } from 'vitest';
import { aClaimFile } from '../../../tests/support/claim-file.js';
import type { Origin } from '../../kernel/vocabulary.js';
import type { Finding } from '../../diagnosis/diagnosis.contract.js';
import type { ClockRule } from '../../policies/policies.contract.js';
import type { ClaimFile, Delivery } from '../adjudication.contract.js';
import { claimClock, type ClockContext } from './claim-clocks.js';
import { carrierCase, EXCEPTED_CAUSES, isRebutted, type CarrierCase, type CaseFacts } from './elements.js';
import { withoutRebutted } from './responsibility.js';

function finding(origin: Origin, verdict: Finding['verdict'] = 'settled'): Finding {
  return {
    subject: 'frame',
    title: { en: 'The frame' },
    explanations: [{ id: 'x', component: 'frame', fault: 'bent', origin, severity: 'functional', probability: 0.9 }],
    components: [{ component: 'frame', probability: 1 }],
    origins: [{ origin, probability: 0.9 }],
    evidence: [],
    notChecked: [],
    surpriseTail: 1,
    entropyBits: 0,
    verdict,
    reasons: [],
  };
}

const delivery = (changes: Partial<Delivery>): Delivery => ({ ...aClaimFile().delivery, ...changes });

/** National Motor Freight Classification, Item 300135, and the Montreal Convention art. 31(2). */
const CONCEALED: ClockRule = {
  id: 'concealed',
  title: 'Report concealed damage',
  ground: 'five business days',
  source: 'National Motor Freight Classification, Item 300135',
  starts: 'delivered',
  length: 5,
  unit: 'business days',
  stops: 'notice to carrier',
  lapse: 'burden shifts',
  owedBy: 'seller',
};
const AIR: ClockRule = { ...CONCEALED, id: 'air', length: 14, unit: 'calendar days', lapse: 'barred' };

/** The case of a claim whose frame was bent on the way and whose loss is 412.50, judged by a notice clock. */
function caseOf(changes: Partial<ClaimFile> = {}, facts: Partial<CaseFacts> = {}, rule = CONCEALED): CarrierCase {
  const claim = aClaimFile(changes);
  const context: ClockContext = {
    ...claim,
    receipt: claim.delivery.receipt,
    transport: claim.transport?.regime ?? '',
    safety: false,
    isHoliday: () => false,
    length: () => undefined,
  };
  const noticeClock = claimClock(rule, context).clock;
  const made = carrierCase({
    about: 'frame',
    claim,
    finding: finding('transit'),
    costMinor: 41_250,
    noticeClock,
    ...facts,
  });
  if (made === undefined) throw new Error('no case');
  return made;
}

const states = ({ elements }: CarrierCase): Record<string, string> =>
  Object.fromEntries(elements.map(({ id, state }) => [id, state]));
const element = (made: CarrierCase, id: string): CarrierCase['elements'][number] | undefined =>
  [...made.elements, ...made.rebuttal].find((each) => each.id === id);

// Missouri Pacific R. Co. v. Elmore & Stahl, 377 U.S. 134 (1964): three elements, then two limbs, both of which the carrier must show.
describe('a prima facie case against the carrier', () => {
  it('stands on good condition at origin, damage on arrival and the amount; negligence need not be shown', () => {
    const made = caseOf();
    expect(states(made)).toEqual({ 'good at origin': 'met', 'damaged on arrival': 'met', amount: 'met' });
    expect(made).toMatchObject({ standing: 'prima facie', missing: [], notice: 'not needed' });
    expect(element(made, 'amount')?.because).toBe('The loss is worked out at 412.50 USD.');
    expect(made.elements.every(({ mend }) => mend === null)).toBe(true);
  });

  it('lacks good condition at origin where nobody recorded it, and is contradicted where exceptions were', () => {
    const unknown = caseOf({ delivery: delivery({ custody: [] }) });
    expect(unknown).toMatchObject({ standing: 'incomplete', missing: ['good at origin'] });
    expect(element(unknown, 'good at origin')).toMatchObject({ state: 'missing' });
    expect(element(unknown, 'good at origin')?.mend).toContain('bill of lading');
    const marked = caseOf({
      delivery: delivery({ custody: [{ stage: 'stored', party: 'seller', condition: 'exceptions' }] }),
    });
    expect(element(marked, 'good at origin')).toMatchObject({ state: 'contradicted' });
  });

  it('lacks damage on arrival after a clear receipt of which nobody told the carrier', () => {
    const { 'notice to carrier': _told, ...events } = aClaimFile().events;
    const made = caseOf({ delivery: delivery({ receipt: 'clean' }), events });
    expect(made).toMatchObject({ standing: 'incomplete', missing: ['damaged on arrival'], notice: 'not given yet' });
    expect(element(made, 'notice')?.mend).toBe('Tell the carrier by 2026-03-11, in writing, and ask it to inspect.');
  });

  it('lacks the amount while no loss is worked out', () => {
    const made = caseOf({}, { costMinor: 0 });
    expect(made).toMatchObject({ standing: 'incomplete', missing: ['amount'] });
    expect(element(made, 'amount')?.mend).toContain('definite sum');
  });

  it.each(['unboxing', 'assembly', 'use', 'wear', 'none found'] as const)(
    'is contradicted where the finding says %s: the harm was not there on arrival',
    (origin) => {
      expect(element(caseOf({}, { finding: finding(origin) }), 'damaged on arrival')?.state).toBe('contradicted');
    },
  );

  it.each(['manufacture', 'storage', 'packing'] as const)(
    'is contradicted where the finding says %s: the goods were not good at origin',
    (origin) => {
      expect(element(caseOf({}, { finding: finding(origin) }), 'good at origin')?.state).toBe('contradicted');
    },
  );

  it('is not contradicted by a finding that is not settled', () => {
    expect(caseOf({}, { finding: finding('use', 'to a person') }).standing).toBe('prima facie');
  });

  it.each(['warranty', 'return'] as const)('is no question of a %s, nor of goods that nobody carried', (ground) => {
    const facts = { about: 'claim', finding: undefined, costMinor: 1, noticeClock: undefined };
    expect(carrierCase({ ...facts, claim: aClaimFile({ ground }) })).toBeUndefined();
    expect(carrierCase({ ...facts, claim: aClaimFile({ transport: { regime: 'none' } }) })).toBeUndefined();
  });
});

describe('the rebuttal', () => {
  it('leaves the carrier where it was with one limb only, whichever it is', () => {
    for (const exceptedCause of EXCEPTED_CAUSES) {
      const made = caseOf({ rebuttal: { exceptedCause } });
      expect(made.standing).toBe('prima facie');
      expect(element(made, 'excepted cause')?.state).toBe('met');
      expect(element(made, 'free of negligence')?.state).toBe('missing');
    }
    expect(caseOf({ rebuttal: { freeOfNegligence: true } }).standing).toBe('prima facie');
    expect(caseOf({ rebuttal: { freeOfNegligence: false, exceptedCause: 'act of God' } }).standing).toBe('prima facie');
  });

  it('frees the carrier with both limbs', () => {
    const rebuttal = { freeOfNegligence: true, exceptedCause: 'act of God' } as const;
    expect(caseOf({ rebuttal }).standing).toBe('rebutted');
    const answers = { about: 'frame', mode: 'presumption', shares: [{ party: 'carrier', bp: 10_000 }] } as const;
    const asked = { ...answers, because: '', fired: [] };
    expect(isRebutted(aClaimFile({ rebuttal }), finding('transit'))).toBe(true);
    expect(withoutRebutted(asked)).toMatchObject({ mode: 'unassigned', shares: [] });
    const maker = { ...asked, shares: [{ party: 'maker', bp: 10_000 }] } as const;
    expect(withoutRebutted(maker)).toBe(maker);
  });

  it('takes insufficient packing for an act of the shipper', () => {
    const made = caseOf({ rebuttal: { freeOfNegligence: true } }, { finding: finding('packing') });
    expect(made.standing).toBe('rebutted');
    expect(element(made, 'excepted cause')?.because).toContain('insufficient packing is an act of the shipper');
    expect(isRebutted(aClaimFile({ rebuttal: { freeOfNegligence: true } }), finding('packing'))).toBe(true);
    expect(isRebutted(aClaimFile(), finding('packing'))).toBe(false);
  });

  it('is not judged by the two limbs under a convention, which has defences of its own', () => {
    const rebuttal = { freeOfNegligence: true, exceptedCause: 'act of God' } as const;
    const made = caseOf({ rebuttal, transport: { regime: 'international road' } });
    expect(made.rebuttal).toEqual([]);
    expect(made.standing).toBe('prima facie');
  });
});

// National Motor Freight Classification, Item 300135: written confirmation, request for inspection, goods and packaging as found.
describe('notice of concealed damage', () => {
  const clean = delivery({ receipt: 'clean' });
  const asked = { written: true, inspectionRequested: true } as const;

  it('is complete with all three conditions', () => {
    const made = caseOf({ delivery: clean, carrierNotice: asked });
    expect(states(made)).toMatchObject({
      notice: 'met',
      'notice in writing': 'met',
      'inspection requested': 'met',
      'packaging held': 'met',
    });
    expect(made).toMatchObject({ standing: 'prima facie', notice: 'complete' });
  });

  it('is incomplete where a call was never confirmed in writing', () => {
    const made = caseOf({ delivery: clean, carrierNotice: { ...asked, written: false } });
    expect(made.notice).toBe('incomplete');
    expect(element(made, 'notice in writing')).toMatchObject({ state: 'contradicted' });
    expect(element(made, 'notice in writing')?.mend).toContain('Confirm the notice in writing');
  });

  it('is incomplete where no inspection was asked for; what nobody recorded is missing, not contradicted', () => {
    expect(caseOf({ delivery: clean, carrierNotice: { written: true, inspectionRequested: false } }).notice).toBe(
      'incomplete',
    );
    const silent = states(caseOf({ delivery: clean }));
    expect(silent).toMatchObject({ 'notice in writing': 'missing', 'inspection requested': 'missing' });
  });

  it('weighs against the recovery where the packaging is gone, and does not end it', () => {
    const made = caseOf({ delivery: delivery({ receipt: 'clean', packaging: 'thrown away' }), carrierNotice: asked });
    expect(element(made, 'packaging held')).toMatchObject({ state: 'contradicted', weighs: 'condition' });
    expect(element(made, 'packaging held')?.because).toContain('never weighs against the customer');
    expect(made.standing).toBe('prima facie');
  });

  it('counts "subject to inspection" as a clear signature', () => {
    const made = caseOf({
      delivery: delivery({ receipt: 'exceptions noted', receiptWords: 'subject to inspection' }),
      events: { delivered: '2026-03-04T10:10:00-05:00' },
    });
    expect(made.notice).toBe('not given yet');
    expect(element(made, 'damaged on arrival')?.because).toContain('counts as a clear signature');
  });

  it('shifts the burden when it is late, and bars nothing', () => {
    const events = { ...aClaimFile().events, 'notice to carrier': '2026-03-12T09:00:00-04:00' };
    const made = caseOf({ delivery: clean, events, asOf: '2026-03-20T12:00:00Z' });
    expect(made).toMatchObject({ notice: 'late', standing: 'incomplete', missing: ['damaged on arrival'] });
    expect(element(made, 'damaged on arrival')?.mend).toContain('did not come after delivery');
  });
});

// Montreal Convention 1999 art. 31(2): 14 days, in writing, by the person entitled to delivery; without it there is no action.
describe('a complaint to an air carrier', () => {
  const air = { delivery: delivery({ receipt: 'clean' }), transport: { regime: 'air' } } as const;

  it('must come from the recipient: the sender alone is not heard', () => {
    const carrierNotice = { written: true, by: 'sender' } as const;
    const open = caseOf({ ...air, carrierNotice }, {}, AIR);
    expect(open.notice).toBe('not given yet');
    expect(element(open, 'complainant')).toMatchObject({ state: 'contradicted' });
    expect(caseOf({ ...air, carrierNotice: { ...carrierNotice, by: 'recipient' } }, {}, AIR).notice).toBe('complete');
    expect(caseOf({ ...air, carrierNotice, asOf: '2026-05-01T00:00:00Z' }, {}, AIR)).toMatchObject({
      standing: 'barred',
    });
  });

  it('bars the claim when it is late, unlike every other late notice', () => {
    const events = { ...aClaimFile().events, 'notice to carrier': '2026-03-19T09:00:00-04:00' };
    expect(caseOf({ ...air, events, asOf: '2026-05-01T00:00:00Z' }, {}, AIR)).toMatchObject({
      notice: 'barred',
      standing: 'barred',
    });
    const onTime = { ...events, 'notice to carrier': '2026-03-18T23:59:00-04:00' };
    expect(caseOf({ ...air, events: onTime, asOf: '2026-05-01T00:00:00Z' }, {}, AIR).standing).toBe('prima facie');
  });
});
