import { compareInstants, localDate } from '../../kernel/days.js';
import type { ClockRule } from '../../policies/policies.contract.js';
import type { Clock, ClaimFile } from '../adjudication.contract.js';
import type { CaseElement } from './elements.js';
import { effectiveReceipt } from './receipt-words.js';

/**
 * Where the notice to the carrier stands. `incomplete`: given in time, but not in the form it needs. `late` shifts the burden of proof;
 * `barred` ends the right, as only the Montreal Convention does.
 */
export type NoticeStanding =
  'not needed' | 'complete' | 'incomplete' | 'not given yet' | 'not given' | 'late' | 'barred';

const NMFC = 'National Motor Freight Classification, Item 300135';

/** The clock for telling the carrier: the one of a policy that is made for this carriage, else its general one. */
export function noticeClock(rules: readonly ClockRule[], clocks: readonly Clock[]): Clock | undefined {
  const inForce = rules.filter(
    ({ id, stops }) => stops === 'notice to carrier' && clocks.some((clock) => clock.id === id),
  );
  const rule = inForce.find(({ transports }) => transports !== undefined) ?? inForce[0];
  return clocks.find(({ id }) => id === rule?.id);
}

/** How the notice stands, by its clock and its circumstances. Damage that the receipt names needs no further notice. */
export function noticeStanding(claim: ClaimFile, clock: Clock | undefined): NoticeStanding {
  const receipt = effectiveReceipt(claim.delivery);
  if (receipt === 'exceptions noted' || receipt === 'refused') return 'not needed';
  const told = toldAt(claim);
  const strict = clock?.lapse === 'barred';
  // A complaint by the sender alone is none under the Montreal Convention art. 31(2).
  const heard = told !== undefined && !(claim.transport?.regime === 'air' && claim.carrierNotice?.by === 'sender');
  if (clock === undefined) return heard ? form(claim) : 'not given';
  if (heard && clock.state === 'met') return form(claim);
  const over = clock.endsAt !== null && compareInstants(clock.endsAt, claim.asOf) <= 0;
  if (!over && clock.state !== 'missed') return heard ? form(claim) : 'not given yet';
  return strict ? 'barred' : heard ? 'late' : 'not given';
}

function form(claim: ClaimFile): NoticeStanding {
  const { written, inspectionRequested } = claim.carrierNotice ?? {};
  return written === false || inspectionRequested === false ? 'incomplete' : 'complete';
}

/** The notice and its conditions, for damage that the receipt does not name. */
export function noticeElements(claim: ClaimFile, clock: Clock | undefined, standing: NoticeStanding): CaseElement[] {
  if (standing === 'not needed') return [];
  const regime = claim.transport?.regime;
  const conditions = [
    notice(claim, clock, standing),
    inWriting(claim, clock),
    inspectionAsked(claim),
    packagingHeld(claim),
  ];
  return regime === 'air' ? [...conditions, complainant(claim)] : conditions;
}

function notice(claim: ClaimFile, clock: Clock | undefined, standing: NoticeStanding): CaseElement {
  const told = toldAt(claim);
  const on = told === undefined ? undefined : localDate(told, claim.zone).toString();
  const by = clock?.lastDay;
  const element = {
    id: 'notice',
    says: 'The carrier was told of concealed damage in time.',
    weighs: 'condition',
    source: clock?.source ?? NMFC,
  } as const;
  const period =
    by === undefined || by === null ? '' : `; the last day ${standing === 'not given yet' ? 'is' : 'was'} ${by}`;
  switch (standing) {
    case 'not given yet': {
      const mend = `Tell the carrier${by === undefined || by === null ? ' now' : ` by ${by}`}, in writing, and ask it to inspect.`;
      return { ...element, state: 'missing', because: `Nobody has told the carrier${period}.`, mend };
    }
    case 'not given':
      return { ...element, state: 'missing', because: `Nobody told the carrier${period}.`, mend: LATE };
    case 'late':
      return { ...element, state: 'contradicted', because: `The carrier was told on ${on}${period}.`, mend: LATE };
    case 'barred': {
      const because =
        told === undefined ? `Nobody told the carrier${period}.` : `No valid complaint came in time${period}.`;
      return { ...element, state: 'contradicted', because, mend: null };
    }
    default:
      return { ...element, state: 'met', because: `The carrier was told on ${on}${period}.`, mend: null };
  }
}

const LATE =
  'Tell the carrier all the same: the claim stands, but reasonable evidence is needed that the harm did not come after delivery.';

function inWriting(claim: ClaimFile, clock: Clock | undefined): CaseElement {
  const element = {
    id: 'notice in writing',
    says: 'The notice was made or confirmed in writing.',
    source: clock?.source ?? NMFC,
  };
  const mend = 'Confirm the notice in writing or by e-mail today, with the day on which it was first given.';
  return condition(element, claim.carrierNotice?.written, {
    met: 'It is in writing.',
    contradicted: 'The carrier was told by word of mouth only; no written confirmation followed.',
    missing: 'Nobody recorded whether it was in writing.',
    mend,
  });
}

function inspectionAsked(claim: ClaimFile): CaseElement {
  const element = { id: 'inspection requested', says: 'The carrier was asked to inspect.', source: NMFC };
  return condition(element, claim.carrierNotice?.inspectionRequested, {
    met: 'The carrier was asked to inspect.',
    contradicted: 'The carrier was not asked to inspect.',
    missing: 'Nobody recorded whether the carrier was asked to inspect.',
    mend: 'Ask the carrier to inspect. If it does not come within its time, inspect and record the same facts yourself.',
  });
}

function packagingHeld(claim: ClaimFile): CaseElement {
  const element = { id: 'packaging held', says: 'Goods and packaging were kept as found.', source: NMFC };
  const kept = claim.delivery.packaging === 'not known' ? undefined : claim.delivery.packaging === 'kept';
  const gone = claim.delivery.packaging === 'thrown away';
  return condition(element, kept, {
    met: 'Carton and packing were kept.',
    contradicted:
      'The packaging was thrown away. This weighs against the recovery and does not end it; it never weighs against the customer.',
    missing: 'Nobody recorded whether the packaging was kept.',
    mend: gone
      ? 'Send the photos of carton and packing taken before they went, and the crew as witnesses.'
      : 'Have carton and packing kept until the carrier has looked or waived it.',
  });
}

function complainant(claim: ClaimFile): CaseElement {
  const element = {
    id: 'complainant',
    says: 'Whoever was to receive the goods complained.',
    source: 'Montreal Convention 1999 art. 31(2)',
  };
  const by = claim.carrierNotice?.by;
  return condition(element, by === undefined ? undefined : by === 'recipient', {
    met: 'The recipient complained.',
    contradicted: 'Only the sender complained; that is not a valid complaint.',
    missing: 'Nobody recorded who complained.',
    mend: 'Have the recipient complain in writing while the period runs.',
  });
}

function condition(
  element: Pick<CaseElement, 'id' | 'says' | 'source'>,
  shown: boolean | undefined,
  words: { readonly met: string; readonly contradicted: string; readonly missing: string; readonly mend: string },
): CaseElement {
  const state = shown === undefined ? 'missing' : shown ? 'met' : 'contradicted';
  return { ...element, weighs: 'condition', state, because: words[state], mend: shown === true ? null : words.mend };
}

/** When the carrier was told, if it has been by now. */
function toldAt(claim: ClaimFile): string | undefined {
  const at = claim.events['notice to carrier'];
  return at !== undefined && compareInstants(at, claim.asOf) <= 0 ? at : undefined;
}
