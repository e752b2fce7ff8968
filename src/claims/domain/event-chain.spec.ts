import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { sha256Hex } from '../../kernel/canonical-json.js';
import type { ClaimEvent, Stamp } from '../claims.contract.js';
import { GENESIS_HASH, nextEvent, verifyChain } from './event-chain.js';

const actor: Stamp = { kind: 'person', id: 'p1', name: 'Ines Marrow' };

function chain(length: number): ClaimEvent[] {
  const events: ClaimEvent[] = [];
  for (let i = 0; i < length; i += 1) {
    const at = new Date(Date.UTC(2026, 2, 1, 9, i)).toISOString();
    const body = { note: `step ${i}`, amountMinor: i * 100 };
    events.push(nextEvent(events.at(-1) ?? null, { claim: 'c1', kind: 'claim-filed', at, actor, body }));
  }
  return events;
}

describe('the event chain', () => {
  it('starts from sixty-four zeros and hashes exactly the canonical JSON of the event without its own hash', () => {
    const [first] = chain(1);
    // RFC 8785: members sorted by UTF-16 code units, no white space. Written out by hand to be independent of the serialiser.
    const canonical =
      '{"actor":{"id":"p1","kind":"person","name":"Ines Marrow"},"at":"2026-03-01T09:00:00.000Z","body":{"amountMinor":0,"note":"step 0"},' +
      `"claim":"c1","kind":"claim-filed","n":1,"previousHash":"${GENESIS_HASH}"}`;
    expect(first?.hash).toBe(sha256Hex(canonical));
    expect(first?.previousHash).toBe('0'.repeat(64));
  });

  it('verifies whole chains of any length', () => {
    for (const length of [0, 1, 2, 30]) expect(verifyChain('c1', chain(length))).toBeUndefined();
  });

  it('finds any altered, dropped or swapped event at its place', () => {
    fc.assert(
      fc.property(
        fc.integer({ min: 2, max: 12 }),
        fc.nat(),
        fc.constantFrom('alter', 'drop', 'swap'),
        (length, pick, how) => {
          const events = chain(length);
          const index = pick % (length - 1);
          const spoiled = [...events];
          if (how === 'alter') spoiled[index] = { ...(events[index] as ClaimEvent), body: { note: 'something else' } };
          if (how === 'drop') spoiled.splice(index, 1);
          if (how === 'swap')
            [spoiled[index], spoiled[index + 1]] = [events[index + 1] as ClaimEvent, events[index] as ClaimEvent];
          expect(verifyChain('c1', spoiled)?.n).toBe(index + 1);
        },
      ),
      { numRuns: 200 },
    );
  });

  it('notices an altered event even when its own hash was made to fit', () => {
    const events = chain(3);
    const { n: _n, hash: _hash, previousHash: _previous, ...content } = events[1] as ClaimEvent;
    const forged = nextEvent(events[0] as ClaimEvent, { ...content, body: { note: 'forged' } });
    expect(verifyChain('c1', [events[0] as ClaimEvent, forged, events[2] as ClaimEvent])).toMatchObject({ n: 3 });
  });

  it('refuses an event that was moved from another claim', () => {
    expect(verifyChain('c2', chain(1))).toMatchObject({ n: 1, detail: 'event 1 belongs to another claim' });
  });
});
