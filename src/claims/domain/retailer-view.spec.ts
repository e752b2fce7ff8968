import { describe, expect, it } from 'vitest';
import { CLAIM_STATES } from '../../kernel/vocabulary.js';
import { CLAIM_EVENTS, type ClaimEvent } from '../claims.contract.js';
import { nextEvent } from './event-chain.js';
import { retailerTimeline, standsAt } from './retailer-view.js';

function eventOf(kind: ClaimEvent['kind'], body: ClaimEvent['body'] = {}): ClaimEvent {
  const actor = { kind: 'person', id: 'p', name: 'Nobody who should be shown' } as const;
  return nextEvent(null, { claim: 'c', kind, at: '2026-03-01T09:00:00.000Z', actor, body });
}

describe('what the retailer reads', () => {
  it('never shows who did what or why inside the house', () => {
    const shown = retailerTimeline(
      CLAIM_EVENTS.map((kind) => eventOf(kind, { words: 'secret reasoning', outcome: 'approved' })),
    );
    expect(JSON.stringify(shown)).not.toMatch(/secret|Nobody/);
    expect(shown.map((entry) => entry.kind)).not.toContain('decision-made');
    expect(shown.map((entry) => entry.kind)).not.toContain('decision-sent-back');
  });

  it('says how it was decided', () => {
    expect(retailerTimeline([eventOf('claim-decided', { outcome: 'declined' })])[0]?.says).toBe(
      'The claim was declined.',
    );
    expect(retailerTimeline([eventOf('claim-decided', { outcome: 'approved in part' })])[0]?.says).toBe(
      'The claim was approved in part.',
    );
  });

  it('has a sentence and a next step for every state, and a date only while something runs', () => {
    for (const state of CLAIM_STATES) {
      const view = standsAt(state, 'approved', '2026-03-05T00:00:00Z', null);
      expect(view.says).toMatch(/^[A-Z].*\.$/);
      expect(view.next).toMatch(/^[A-Z].*\.$/);
      expect(view.by === null).toBe(['closed', 'withdrawn', 'settled'].includes(state));
    }
  });

  it('repeats the question that was asked', () => {
    expect(standsAt('needs information', null, null, 'Send the packing photo.').next).toBe('Send the packing photo.');
  });
});
