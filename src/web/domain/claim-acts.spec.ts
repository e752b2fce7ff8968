import { describe, expect, it } from 'vitest';
import { CLAIM_STATES } from '../../kernel/vocabulary.js';
import { openActs, type ClaimStanding } from './claim-acts.js';

const claim: ClaimStanding = { state: 'proposed', outcome: null, awaiting: null, filedBy: 'crew' };

describe('acts on the page of a claim', () => {
  it('leave deciding to somebody who did not file it', () => {
    expect(openActs(claim, 'ada').acts).toContain('approve');
    const own = openActs({ ...claim, filedBy: 'ada' }, 'ada');
    expect(own.acts).not.toContain('approve');
    expect(own.notYours).toMatch(/somebody else/i);
  });

  it('leave the second look to a second person', () => {
    const awaiting = { n: 1, decidedBy: 'ada' };
    expect(openActs({ ...claim, awaiting }, 'felix').acts).toEqual(['confirm', 'send-back', 'withdraw']);
    expect(openActs({ ...claim, awaiting }, 'ada').acts).toEqual(['withdraw']);
    expect(openActs({ ...claim, awaiting, filedBy: 'felix' }, 'felix').acts).toEqual(['withdraw']);
  });

  it('settle what was approved and close what was declined', () => {
    expect(openActs({ ...claim, state: 'decided', outcome: 'approved' }, 'ada').acts).toContain('order');
    expect(openActs({ ...claim, state: 'decided', outcome: 'declined' }, 'ada').acts).toEqual(['close', 'reopen']);
  });

  it('end only with a withdrawal', () => {
    const dead = CLAIM_STATES.filter((state) => openActs({ ...claim, state }, 'ada').acts.length === 0);
    expect(dead).toEqual(['withdrawn']);
  });
});
