import type { ClaimState } from '../../kernel/vocabulary.js';
import type { ClaimEvent, ClaimEventKind, DecisionOutcome } from '../claims.contract.js';

/** One line of the retailer's timeline: what happened, in words, without who weighed what or why inside the house. */
export interface TimelineEntry {
  readonly at: string;
  readonly kind: ClaimEventKind;
  readonly says: string;
}

/** What the retailer reads first: where it stands, and what comes next by when. */
export interface StandsAt {
  readonly says: string;
  readonly next: string;
  /** RFC 3339 instant by which the next step is promised, or null where nothing is. */
  readonly by: string | null;
}

const SAYS: Readonly<Partial<Record<ClaimEventKind, string>>> = {
  'claim-drafted': 'The claim was opened.',
  'claim-filed': 'The claim was filed.',
  'claim-proposed': 'The service made a proposal; an analyst is looking at it.',
  'information-asked': 'More information was asked for.',
  'information-given': 'The information arrived.',
  'settlement-ordered': 'The remedy was ordered.',
  'claim-settled': 'The claim was settled.',
  'claim-closed': 'The claim was closed.',
  'claim-withdrawn': 'The claim was withdrawn.',
  'claim-reopened': 'The claim was opened again.',
  'evidence-added': 'New evidence was added.',
};

/** The events that a retailer may read, in order. Second-person matters and the start of an assessment stay inside the house. */
export function retailerTimeline(events: readonly ClaimEvent[]): TimelineEntry[] {
  return events.flatMap((event) => {
    const says = event.kind === 'claim-decided' ? decidedWords(event.body['outcome']) : SAYS[event.kind];
    return says === undefined ? [] : [{ at: event.at, kind: event.kind, says }];
  });
}

/** The one sentence about where the claim stands and the one about what comes next. */
export function standsAt(
  state: ClaimState,
  outcome: DecisionOutcome | null,
  promised: string | null,
  question: string | null,
): StandsAt {
  const { says, next } = sentences(state, outcome, question);
  const open = state !== 'closed' && state !== 'withdrawn' && state !== 'settled';
  return { says, next, by: open ? promised : null };
}

function sentences(
  state: ClaimState,
  outcome: DecisionOutcome | null,
  question: string | null,
): { says: string; next: string } {
  switch (state) {
    case 'draft':
      return { says: 'The claim is being written.', next: 'The crew or the desk files it.' };
    case 'filed':
    case 'assessing':
      return { says: 'The claim is filed.', next: 'The service works out a proposal, then an analyst decides.' };
    case 'needs information':
      return {
        says: 'We are waiting for information.',
        next: question ?? 'Whoever was asked answers; then the review goes on.',
      };
    case 'proposed':
      return { says: 'The claim is in review.', next: 'An analyst decides.' };
    case 'decided':
      return {
        says: decidedWords(outcome),
        next:
          outcome === 'declined'
            ? 'The claim will be closed. You can ask for another look.'
            : 'The remedy will be ordered.',
      };
    case 'settling':
      return { says: 'The remedy is on its way.', next: 'We confirm here when it is done.' };
    case 'settled':
      return { says: 'The claim is settled.', next: 'Nothing more is needed from you. You can ask for another look.' };
    case 'closed':
      return {
        says: 'The claim is closed.',
        next: 'Nothing more happens unless new evidence turns up. You can ask for another look.',
      };
    case 'withdrawn':
      return {
        says: 'The claim was withdrawn.',
        next: 'Nothing more happens. A new claim can be filed if the damage still stands.',
      };
    default:
      return state satisfies never;
  }
}

function decidedWords(outcome: unknown): string {
  if (outcome === 'declined') return 'The claim was declined.';
  if (outcome === 'approved in part') return 'The claim was approved in part.';
  return 'The claim was approved.';
}
