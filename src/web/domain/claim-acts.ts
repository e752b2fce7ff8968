import type { ClaimState } from '../../kernel/vocabulary.js';

/** What a person may do to a claim on its page. */
export const CLAIM_ACTS = [
  'approve',
  'approve-in-part',
  'other-remedy',
  'decline',
  'confirm',
  'send-back',
  'ask',
  'answer',
  'look-again',
  'order',
  'settle',
  'close',
  'reopen',
  'withdraw',
  'note',
] as const;
export type ClaimAct = (typeof CLAIM_ACTS)[number];

/** What decides which acts stand on a claim's page. */
export interface ClaimStanding {
  readonly state: ClaimState;
  readonly outcome: 'approved' | 'approved in part' | 'declined' | null;
  /** Number and author of the decision that waits for a second person. */
  readonly awaiting: { readonly n: number; readonly decidedBy: string } | null;
  readonly filedBy: string | null;
}

/** The acts that a claim's state has room for, and why deciding is not among them where it could be expected. */
export interface OpenActs {
  readonly acts: readonly ClaimAct[];
  readonly notYours: string | null;
}

/**
 * The acts on the page, for somebody with the role for all of them. The claim's own rules judge each act again when it is sent; this only
 * leaves out what could not succeed.
 * @param person id of whoever looks at the page
 */
export function openActs(claim: ClaimStanding, person: string): OpenActs {
  switch (claim.state) {
    case 'draft':
      return { acts: ['withdraw'], notYours: null };
    case 'filed':
      return { acts: ['ask', 'withdraw'], notYours: null };
    case 'assessing':
      return { acts: ['withdraw'], notYours: null };
    case 'needs information':
      return { acts: ['answer', 'withdraw'], notYours: null };
    case 'proposed':
      return proposedActs(claim, person);
    case 'decided':
      return claim.outcome === 'declined'
        ? { acts: ['close', 'reopen'], notYours: null }
        : { acts: ['order', 'reopen'], notYours: null };
    case 'settling':
      return { acts: ['settle'], notYours: null };
    case 'settled':
      return { acts: ['close', 'reopen'], notYours: null };
    case 'closed':
      return { acts: ['reopen'], notYours: null };
    case 'withdrawn':
      return { acts: [], notYours: null };
  }
}

function proposedActs({ awaiting, filedBy }: ClaimStanding, person: string): OpenActs {
  if (awaiting !== null) {
    if (awaiting.decidedBy === person) {
      return { acts: ['withdraw'], notYours: 'You made this decision. A second person confirms it or sends it back.' };
    }
    if (filedBy === person)
      return { acts: ['withdraw'], notYours: 'You filed this claim. Somebody else has to confirm it.' };
    return { acts: ['confirm', 'send-back', 'withdraw'], notYours: null };
  }
  const others: readonly ClaimAct[] = ['ask', 'look-again', 'withdraw'];
  if (filedBy === person) return { acts: others, notYours: 'You filed this claim. Somebody else has to decide it.' };
  return { acts: ['approve', 'approve-in-part', 'other-remedy', 'decline', ...others], notYours: null };
}
