import type { ClaimState } from '../../kernel/vocabulary.js';
import type { ClaimEventKind, ClaimLife, Refusal, Transition } from '../claims.contract.js';

/** Acts on a claim that move it from state to state. Decisions have rules of their own in decide-claim.ts. */
export type ClaimAct =
  | 'file'
  | 'start assessment'
  | 'propose'
  | 'ask'
  | 'give information'
  | 'decide'
  | 'order settlement'
  | 'settle'
  | 'close'
  | 'withdraw'
  | 'reopen'
  | 'look again';

interface Step {
  readonly from: readonly ClaimState[];
  readonly to: ClaimState;
  readonly kind: ClaimEventKind;
}

const STEPS: Readonly<Record<ClaimAct, Step>> = {
  file: { from: ['draft'], to: 'filed', kind: 'claim-filed' },
  'start assessment': { from: ['filed'], to: 'assessing', kind: 'assessment-started' },
  propose: { from: ['assessing'], to: 'proposed', kind: 'claim-proposed' },
  ask: { from: ['filed', 'proposed'], to: 'needs information', kind: 'information-asked' },
  'give information': { from: ['needs information'], to: 'filed', kind: 'information-given' },
  decide: { from: ['proposed'], to: 'decided', kind: 'claim-decided' },
  'order settlement': { from: ['decided'], to: 'settling', kind: 'settlement-ordered' },
  settle: { from: ['settling'], to: 'settled', kind: 'claim-settled' },
  close: { from: ['decided', 'settled'], to: 'closed', kind: 'claim-closed' },
  withdraw: {
    from: ['draft', 'filed', 'assessing', 'needs information', 'proposed'],
    to: 'withdrawn',
    kind: 'claim-withdrawn',
  },
  'look again': { from: ['proposed'], to: 'filed', kind: 'evidence-added' },
  reopen: { from: ['decided', 'settled', 'closed'], to: 'filed', kind: 'claim-reopened' },
};

/**
 * The state and event that an act leads to, or why it is refused. Missing facts and persons are checked by the acts' own rules;
 * this says only what the claim's life allows.
 */
export function step(claim: ClaimLife, act: ClaimAct): Transition | Refusal {
  const { from, to, kind } = STEPS[act];
  if (from.includes(claim.state)) return guard(claim, act) ?? { ok: true, next: to, kind };
  if (claim.state === 'withdrawn') {
    return refuse(
      'claim-withdrawn',
      'The claim was withdrawn. Nothing more can be done with it; file a new claim if the damage still stands.',
    );
  }
  return refuse(
    'claim-state-forbids',
    `The claim is ${inWords(claim.state)}; this can only be done while it is ${either(from)}.`,
  );
}

function guard(claim: ClaimLife, act: ClaimAct): Refusal | undefined {
  if (act === 'close' && claim.state === 'decided' && claim.standing?.outcome !== 'declined') {
    return refuse(
      'claim-state-forbids',
      'The claim was approved and is not settled yet; settle it first, then close it.',
    );
  }
  if (act === 'order settlement' && claim.standing?.outcome === 'declined') {
    return refuse('claim-state-forbids', 'The claim was declined, so there is nothing to settle; close it instead.');
  }
  if (act === 'withdraw' && claim.standing) {
    return refuse(
      'claim-state-forbids',
      'A decision stands, so the claim cannot be taken back any more. The new look at it ends with another decision.',
    );
  }
  if ((act === 'ask' || act === 'look again') && claim.awaiting) {
    return refuse(
      'claim-state-forbids',
      'A decision is waiting for a second person; it must be confirmed or sent back first.',
    );
  }
  return undefined;
}

/** Makes a refusal. */
export function refuse(refusal: Refusal['refusal'], detail: string): Refusal {
  return { ok: false, refusal, detail };
}

function inWords(state: ClaimState): string {
  return state === 'needs information' ? 'waiting for information' : state === 'draft' ? 'still a draft' : state;
}

function either(states: readonly ClaimState[]): string {
  const words = states.map(inWords);
  return words.length === 1 ? `${words[0]}` : `${words.slice(0, -1).join(', ')} or ${words.at(-1)}`;
}
