import type { DecisionOutcome } from '../../claims/claims.contract.js';
import type { ClaimState } from '../../kernel/vocabulary.js';

export type Tone = 'ok' | 'warn' | 'bad' | 'info' | 'plainly';
/** Shapes tell states apart without colour. */
export type Shape = 'ring' | 'half' | 'tick' | 'triangle' | 'octagon' | 'diamond' | 'open square' | 'square' | 'cross';

/** A state as a word, a shape and a tone. */
export interface StateMark {
  readonly says: string;
  readonly shape: Shape;
  readonly tone: Tone;
}

const MARKS: Readonly<Record<ClaimState, StateMark>> = {
  draft: { says: 'Draft', shape: 'ring', tone: 'plainly' },
  filed: { says: 'Filed', shape: 'diamond', tone: 'info' },
  assessing: { says: 'Being assessed', shape: 'half', tone: 'info' },
  'needs information': { says: 'Waiting for information', shape: 'triangle', tone: 'warn' },
  proposed: { says: 'Proposed', shape: 'open square', tone: 'info' },
  decided: { says: 'Decided', shape: 'square', tone: 'plainly' },
  settling: { says: 'Settling', shape: 'half', tone: 'info' },
  settled: { says: 'Settled', shape: 'tick', tone: 'ok' },
  closed: { says: 'Closed', shape: 'square', tone: 'plainly' },
  withdrawn: { says: 'Withdrawn', shape: 'cross', tone: 'plainly' },
};

/** The mark of a claim's state; a decision says how it went, and one that waits for its second person says so. */
export function stateMark(state: ClaimState, outcome: string | null, awaiting = false): StateMark {
  if (awaiting) return { says: 'Second person', shape: 'half', tone: 'warn' };
  if (state !== 'decided' || outcome === null) return MARKS[state];
  if (outcome === 'declined') return { says: 'Declined', shape: 'cross', tone: 'bad' };
  return { says: outcome === 'approved' ? 'Approved' : 'Approved in part', shape: 'tick', tone: 'ok' };
}

/** The outcome of a line, where it is one. */
export function outcomeOf(outcome: string | null): DecisionOutcome | null {
  return outcome === 'approved' || outcome === 'approved in part' || outcome === 'declined' ? outcome : null;
}
