import type { ClaimState, Ground, Remedy } from '../kernel/vocabulary.js';

/** Who did something, as it stands in the event trail. */
export interface Stamp {
  readonly kind: 'person' | 'key' | 'link' | 'service';
  readonly id: string;
  readonly name: string;
}

/** What a claim is at one moment, as far as its life is concerned. */
export interface ClaimLife {
  readonly id: string;
  readonly state: ClaimState;
  readonly version: number;
  /** Id of whoever filed it; nobody decides a claim that they filed. */
  readonly filedBy: string | null;
  /** The decision that waits for a second person, if there is one. */
  readonly awaiting: { readonly n: number; readonly decidedBy: string } | null;
  /** The decision that stands, if there is one. */
  readonly standing: { readonly n: number; readonly outcome: DecisionOutcome; readonly totalMinor: number } | null;
}

export const DECISION_OUTCOMES = ['approved', 'approved in part', 'declined'] as const;
export type DecisionOutcome = (typeof DECISION_OUTCOMES)[number];

/** Why a person departs from the proposal. Words go with it. */
export const OVERRIDE_REASONS = [
  'evidence read otherwise',
  'new facts from the customer',
  'new facts from another party',
  'goodwill',
  'legal advice',
  'proposal is wrong',
] as const;
export type OverrideReason = (typeof OVERRIDE_REASONS)[number];

export const CLAIM_EVENTS = [
  'claim-drafted',
  'claim-filed',
  'assessment-started',
  'claim-proposed',
  'information-asked',
  'information-given',
  'decision-made',
  'decision-sent-back',
  'claim-decided',
  'settlement-ordered',
  'claim-settled',
  'claim-closed',
  'claim-withdrawn',
  'claim-reopened',
  'evidence-added',
  'happening-noted',
  'note-written',
  'claim-taken',
  'claim-put-back',
  'phone-lost',
  'answer-settled',
  'clock-warned',
  'clock-missed',
] as const;
export type ClaimEventKind = (typeof CLAIM_EVENTS)[number];

/** What whoever decides says to the retailer, in the languages in which they say it. Plain text, at most 2,000 characters each. */
export interface WordsToRetailer {
  readonly en?: string;
  readonly es?: string;
}

/** One link of a claim's chain. `hash` covers everything else over canonical JSON (RFC 8785), the previous hash included. */
export interface ClaimEvent {
  readonly claim: string;
  readonly n: number;
  readonly kind: ClaimEventKind;
  /** RFC 3339 instant in UTC with milliseconds. */
  readonly at: string;
  readonly actor: Stamp;
  readonly body: Readonly<Record<string, unknown>>;
  readonly previousHash: string;
  readonly hash: string;
}

/** An expected refusal of an act on a claim; each is a code of the problem catalogue. */
export type ClaimRefusal =
  | 'claim-state-forbids'
  | 'claim-withdrawn'
  | 'claim-incomplete'
  | 'own-claim'
  | 'same-person'
  | 'nothing-to-decide'
  | 'reason-required'
  | 'amount-currency-differs'
  | 'amount-exceeds';

export interface Refusal {
  readonly ok: false;
  readonly refusal: ClaimRefusal;
  readonly detail: string;
}

export interface Transition {
  readonly ok: true;
  readonly next: ClaimState;
  readonly kind: ClaimEventKind;
}

/** What the claimant opened the claim with. */
export interface ClaimOpening {
  readonly ground: Ground;
  readonly returnReason: 'change of mind' | 'wrong item' | null;
  readonly wish: Remedy | null;
  readonly words: string | null;
  readonly failedRepairs: number;
  readonly noticedAt: string;
  readonly noticeToCarrierAt: string | null;
}

export { linkFault, verifyChain, nextEvent, GENESIS_HASH } from './domain/event-chain.js';
export type { ChainFault } from './domain/event-chain.js';
export { retailerTimeline, standsAt } from './domain/retailer-view.js';
export type { StandsAt, TimelineEntry } from './domain/retailer-view.js';
export { HAPPENINGS, type Happening } from './domain/happenings.js';
export { decidedCost, type DecidedCost, type DecidedRemedy } from './domain/decided-cost.js';

/** Name of the job that opens recoveries once a decision stands. The recovery module does it. */
export const OPEN_RECOVERIES = 'open-recoveries';
