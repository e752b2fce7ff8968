import { money, moneyDecimal } from '../../kernel/money.js';
import type { Origin } from '../../kernel/vocabulary.js';
import type { Finding } from '../../diagnosis/diagnosis.contract.js';
import type { CompiledPolicy } from '../../policies/policies.contract.js';
import type { Clock, ClaimFile, Responsibility } from '../adjudication.contract.js';
import { conditionBeforeCarrier, type Matter } from './claim-facts.js';
import { noticeClock, noticeElements, noticeStanding, type NoticeStanding } from './notice-elements.js';
import { effectiveReceipt } from './receipt-words.js';
import type { TransportRegime } from './transport.js';

/** Causes that excuse a carrier which was also free from negligence: Missouri Pacific R. Co. v. Elmore & Stahl, 377 U.S. 134 (1964). */
export const EXCEPTED_CAUSES = [
  'act of God',
  'public enemy',
  'act of the shipper',
  'public authority',
  'inherent vice',
] as const;
export type ExceptedCause = (typeof EXCEPTED_CAUSES)[number];

/** One thing that has to be shown. */
export interface CaseElement {
  readonly id: string;
  /** What has to be shown, as a sentence. */
  readonly says: string;
  /** `element`: without it there is no case. `condition`: it weighs. `rebuttal`: the carrier has to show it. */
  readonly weighs: 'element' | 'condition' | 'rebuttal';
  readonly state: 'met' | 'missing' | 'contradicted';
  /** The facts that made it so, in words. */
  readonly because: string;
  /** What would mend it; null where nothing is to be mended. */
  readonly mend: string | null;
  readonly source: string;
}

/** The case against the carrier in one matter. */
export interface CarrierCase {
  readonly about: string;
  readonly regime: TransportRegime | 'not known';
  readonly elements: readonly CaseElement[];
  /** The carrier's limbs; `met` means that the carrier has shown it. */
  readonly rebuttal: readonly CaseElement[];
  readonly notice: NoticeStanding;
  readonly standing: 'prima facie' | 'incomplete' | 'rebutted' | 'barred';
  /** Elements without which the case is incomplete, by id. */
  readonly missing: readonly string[];
  readonly because: string;
}

/** What a case is built from. */
export interface CaseFacts {
  readonly about: string;
  readonly claim: ClaimFile;
  readonly finding: Finding | undefined;
  /** What the matter costs, in minor units of the order's currency. */
  readonly costMinor: number;
  /** The clock for telling the carrier, where the policy has one for this claim. */
  readonly noticeClock: Clock | undefined;
}

const CASE_LAW = 'Missouri Pacific R. Co. v. Elmore & Stahl, 377 U.S. 134 (1964); 49 U.S.C. 14706(a)(1)';

/**
 * What a case against the carrier stands on: good condition at origin, damage on arrival, the amount; the notice; and what the carrier
 * would have to show to escape. Negligence need not be shown. Nothing here changes what the customer gets.
 * @returns undefined where no carriage is in question: a failure in use, a return, goods that nobody carried for hire
 */
export function carrierCase(facts: CaseFacts): CarrierCase | undefined {
  const { claim, about } = facts;
  const regime = claim.transport?.regime ?? 'not known';
  if (claim.ground === 'warranty' || claim.ground === 'return' || regime === 'none') return undefined;
  const source = sourceFor(claim);
  const notice = noticeStanding(claim, facts.noticeClock);
  const elements = [
    goodAtOrigin(facts, source),
    damagedOnArrival(facts, notice, source),
    determinedAmount(facts, source),
    ...noticeElements(claim, facts.noticeClock, notice),
  ];
  const rebuttal = twoLimbs(regime) ? limbs(facts, source) : [];
  const missing = elements.filter(({ weighs, state }) => weighs === 'element' && state !== 'met').map(({ id }) => id);
  const standing = standingOf({ missing, rebuttal, notice });
  return { about, regime, elements, rebuttal, notice, standing, missing, because: because(standing, missing) };
}

/** The case against the carrier in each matter, with its cost. */
export function carrierCases(of: {
  readonly claim: ClaimFile;
  readonly policy: CompiledPolicy;
  readonly matters: readonly { readonly matter: Matter }[];
  /** In the order of the matters. */
  readonly responsibility: readonly Responsibility[];
  readonly clocks: readonly Clock[];
}): CarrierCase[] {
  const { claim, matters, responsibility, clocks } = of;
  const clock = noticeClock(of.policy.document.clocks ?? [], clocks);
  return matters.flatMap(({ matter: { about, finding } }, index) => {
    const costMinor = responsibility[index]?.costMinor ?? 0;
    return carrierCase({ about, claim, finding, costMinor, noticeClock: clock }) ?? [];
  });
}

/** Whether the carrier has shown both limbs: freedom from negligence, and an excepted cause. One of them is not enough. */
export function isRebutted(claim: ClaimFile, finding: Finding | undefined): boolean {
  const regime = claim.transport?.regime ?? 'not known';
  return twoLimbs(regime) && claim.rebuttal?.freeOfNegligence === true && exceptedCause(claim, finding) !== undefined;
}

/** Conventions have defences of their own, which a person reads; the two limbs are the rule of carriage by road at home. */
function twoLimbs(regime: CarrierCase['regime']): boolean {
  return regime === 'domestic road' || regime === 'household move' || regime === 'not known';
}

function sourceFor({ jurisdiction, transport }: ClaimFile): string {
  switch (transport?.regime) {
    case 'international road':
      return 'CMR arts. 17, 30 (art. 17 from memory)';
    case 'air':
      return 'Montreal Convention 1999 arts. 18, 31 (art. 18 from memory)';
    case 'sea':
      return 'Hague-Visby Rules art. III r. 6';
    default:
      return jurisdiction.startsWith('US') ? CASE_LAW : `common practice, after ${CASE_LAW}`;
  }
}

function goodAtOrigin({ claim, finding }: CaseFacts, source: string): CaseElement {
  const element = { id: 'good at origin', says: 'The goods were handed to the carrier in good condition.', source };
  const before = settledOrigin(finding);
  if (before !== undefined && BEFORE.includes(before)) {
    const because = `The finding puts the cause before the carriage: ${before}.`;
    const mend =
      'Turn to whoever made, packed or stored the goods; against the carrier only other evidence of the cause would help.';
    return { ...element, weighs: 'element', state: 'contradicted', because, mend };
  }
  switch (conditionBeforeCarrier(claim.delivery.custody)) {
    case 'clean': {
      const because = 'The last record before the carrier took over is clean.';
      return { ...element, weighs: 'element', state: 'met', because, mend: null };
    }
    case 'exceptions': {
      const because = 'The last record before the carrier took over already shows exceptions.';
      const mend = 'Show that those exceptions were other damage: photos or a pick-up record from before the carriage.';
      return { ...element, weighs: 'element', state: 'contradicted', because, mend };
    }
    case 'not known': {
      const because = 'Nobody recorded the condition before the carrier took over.';
      const mend =
        'Get the bill of lading or the pick-up record with its condition, or a statement of whoever packed the goods.';
      return { ...element, weighs: 'element', state: 'missing', because, mend };
    }
  }
}

const BEFORE: readonly Origin[] = ['manufacture', 'packing', 'storage'];
const AFTER: readonly Origin[] = ['unboxing', 'assembly', 'use', 'wear'];

function settledOrigin(finding: Finding | undefined): Origin | undefined {
  return finding?.verdict === 'settled' ? finding.origins[0]?.origin : undefined;
}

function damagedOnArrival({ claim, finding }: CaseFacts, notice: NoticeStanding, source: string): CaseElement {
  const says = 'The goods arrived damaged, short, or not at all.';
  const element = { id: 'damaged on arrival', says, weighs: 'element', source } as const;
  const origin = settledOrigin(finding);
  if (origin === 'none found' || (origin !== undefined && AFTER.includes(origin))) {
    const where =
      origin === 'none found'
        ? 'The finding is that nothing is wrong.'
        : `The finding puts the cause after delivery: ${origin}.`;
    const mend =
      'Only new evidence that the harm was there on arrival would help: photos of the closed carton, the indicators, a witness.';
    return { ...element, state: 'contradicted', because: where, mend };
  }
  const receipt = effectiveReceipt(claim.delivery);
  if (receipt === 'refused') return { ...element, state: 'met', because: 'Delivery was refused.', mend: null };
  if (receipt === 'exceptions noted') {
    return { ...element, state: 'met', because: 'The damage is named on the delivery receipt.', mend: null };
  }
  if (finding === undefined) {
    const mend = 'Finish the inspection, so that it says what is damaged.';
    return { ...element, state: 'missing', because: 'No damage has been found yet.', mend };
  }
  if (notice === 'complete' || notice === 'incomplete') {
    const because = `The receipt is ${inWords(receipt)}, but the carrier was told of concealed damage in time.`;
    return { ...element, state: 'met', because, mend: null };
  }
  const because =
    receipt !== claim.delivery.receipt
      ? `The words on the receipt name no damage, so it counts as a clear signature, and ${inTime(notice)}.`
      : `The receipt is ${inWords(receipt)}, and ${inTime(notice)}.`;
  const mend =
    notice === 'not given yet'
      ? 'Tell the carrier now, in writing, and ask it to inspect.'
      : 'Offer reasonable evidence that the harm did not come after delivery: tripped indicators, carton photos taken before the first cut, the crew as witnesses.';
  return { ...element, state: 'missing', because, mend };
}

function inWords(receipt: string): string {
  return receipt === 'no signature' ? 'not signed' : receipt;
}

function inTime(notice: NoticeStanding): string {
  return notice === 'late' || notice === 'barred' ? 'the carrier was told too late' : 'nobody has told the carrier';
}

function determinedAmount({ claim, costMinor }: CaseFacts, source: string): CaseElement {
  const element = { id: 'amount', says: 'The amount of the damage is known.', weighs: 'element', source } as const;
  if (costMinor > 0) {
    const amount = moneyDecimal(money(costMinor, claim.order.currency));
    return {
      ...element,
      state: 'met',
      because: `The loss is worked out at ${amount} ${claim.order.currency}.`,
      mend: null,
    };
  }
  const mend =
    'Settle what the customer gets, or enter invoice and repair cost, so that a definite sum can be demanded.';
  return { ...element, state: 'missing', because: 'No loss has been worked out.', mend };
}

function limbs({ claim, finding }: CaseFacts, source: string): CaseElement[] {
  const care = claim.rebuttal?.freeOfNegligence === true;
  const cause = exceptedCause(claim, finding);
  const packed = claim.rebuttal?.exceptedCause === undefined && cause !== undefined;
  return [
    {
      id: 'free of negligence',
      says: 'The carrier was free from negligence.',
      weighs: 'rebuttal',
      state: care ? 'met' : 'missing',
      because: care ? 'The carrier has shown it.' : 'The carrier has not shown it.',
      mend: care ? 'Ask for the records behind it: route, transfers, loading, other freight on board.' : null,
      source,
    },
    {
      id: 'excepted cause',
      says: `One excepted cause did the damage: ${EXCEPTED_CAUSES.join(', ')}.`,
      weighs: 'rebuttal',
      state: cause === undefined ? 'missing' : 'met',
      because:
        cause === undefined
          ? 'The carrier has shown none.'
          : packed
            ? 'The finding is that the goods were poorly packed; insufficient packing is an act of the shipper.'
            : `The carrier has shown this one: ${cause}.`,
      mend: cause === undefined ? null : 'Show packing that met its specification, or another cause of the damage.',
      source,
    },
  ];
}

function exceptedCause(claim: ClaimFile, finding: Finding | undefined): ExceptedCause | undefined {
  return claim.rebuttal?.exceptedCause ?? (settledOrigin(finding) === 'packing' ? 'act of the shipper' : undefined);
}

function standingOf(made: {
  readonly missing: readonly string[];
  readonly rebuttal: readonly CaseElement[];
  readonly notice: NoticeStanding;
}): CarrierCase['standing'] {
  if (made.notice === 'barred') return 'barred';
  const shown = made.rebuttal.length > 0 && made.rebuttal.every(({ state }) => state === 'met');
  if (shown) return 'rebutted';
  return made.missing.length > 0 ? 'incomplete' : 'prima facie';
}

function because(standing: CarrierCase['standing'], missing: readonly string[]): string {
  switch (standing) {
    case 'prima facie':
      return 'All elements are met: the carrier answers unless it shows both that it was free from negligence and that an excepted cause did the damage.';
    case 'incomplete':
      return `Not shown yet: ${missing.join(', ')}.`;
    case 'rebutted':
      return 'The carrier has shown freedom from negligence and an excepted cause; it does not answer on a presumption.';
    case 'barred':
      return 'No valid complaint reached the carrier in time, and under this convention that ends the right. Ask a licensed professional before giving it up.';
  }
}
