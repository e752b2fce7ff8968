import { describe, expect, it } from 'vitest';
import { CLAIM_STATES, type ClaimState } from '../../kernel/vocabulary.js';
import type { ClaimLife } from '../claims.contract.js';
import { type ClaimAct, step } from './claim-life.js';

function claim(state: ClaimState, more: Partial<ClaimLife> = {}): ClaimLife {
  return { id: 'c', state, version: 1, filedBy: 'crew', awaiting: null, standing: null, ...more };
}

/** The life of a claim as a table, act by act: where it may start and where it leads. Everything else is refused. */
const TABLE: readonly (readonly [ClaimAct, readonly ClaimState[], ClaimState])[] = [
  ['file', ['draft'], 'filed'],
  ['start assessment', ['filed'], 'assessing'],
  ['propose', ['assessing'], 'proposed'],
  ['ask', ['filed', 'proposed'], 'needs information'],
  ['give information', ['needs information'], 'filed'],
  ['decide', ['proposed'], 'decided'],
  ['order settlement', ['decided'], 'settling'],
  ['settle', ['settling'], 'settled'],
  ['close', ['settled'], 'closed'],
  ['look again', ['proposed'], 'filed'],
  ['withdraw', ['draft', 'filed', 'assessing', 'needs information', 'proposed'], 'withdrawn'],
  ['reopen', ['decided', 'settled', 'closed'], 'filed'],
];

describe('the life of a claim', () => {
  for (const [act, from, to] of TABLE) {
    it(`lets "${act}" happen from ${from.join(', ')} and from nowhere else`, () => {
      for (const state of CLAIM_STATES) {
        const outcome = step(claim(state), act);
        if (from.includes(state)) expect(outcome).toMatchObject({ ok: true, next: to });
        else if (state === 'withdrawn') expect(outcome).toMatchObject({ ok: false, refusal: 'claim-withdrawn' });
        else expect(outcome).toMatchObject({ ok: false, refusal: 'claim-state-forbids' });
      }
    });
  }

  it('closes a decided claim only when it was declined', () => {
    const approved = { n: 1, outcome: 'approved', totalMinor: 100 } as const;
    expect(step(claim('decided', { standing: approved }), 'close').ok).toBe(false);
    expect(step(claim('decided', { standing: { ...approved, outcome: 'declined', totalMinor: 0 } }), 'close').ok).toBe(
      true,
    );
  });

  it('is not withdrawn while an appeal looks at a decision that stands', () => {
    const standing = { n: 1, outcome: 'approved', totalMinor: 100 } as const;
    expect(step(claim('proposed', { standing }), 'withdraw')).toMatchObject({ refusal: 'claim-state-forbids' });
  });

  it('does not order a settlement of a declined claim', () => {
    const declined = { n: 1, outcome: 'declined', totalMinor: 0 } as const;
    expect(step(claim('decided', { standing: declined }), 'order settlement').ok).toBe(false);
  });

  it('does not ask for information while a decision waits for a second person', () => {
    expect(step(claim('proposed', { awaiting: { n: 1, decidedBy: 'a' } }), 'ask')).toMatchObject({
      refusal: 'claim-state-forbids',
    });
  });

  it('says in words what the claim is and when the act is possible', () => {
    expect(step(claim('draft'), 'settle')).toMatchObject({
      detail: 'The claim is still a draft; this can only be done while it is settling.',
    });
    expect(step(claim('needs information'), 'reopen')).toMatchObject({
      detail: 'The claim is waiting for information; this can only be done while it is decided, settled or closed.',
    });
  });
});
