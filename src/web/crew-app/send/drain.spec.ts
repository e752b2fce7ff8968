import { describe, expect, it } from 'vitest';
import type { OwedRow } from '../keep/database.js';
import { roomFor } from '../photo/room.js';
import { nextErrand } from './drain.js';

const NOW = 1_000_000;
const RANKS = { fact: 1, claim: 2, photo: 3, withdraw: 3, confirm: 4, again: 5 } as const;

function owed(kind: OwedRow['kind'], ref: string, over: Partial<OwedRow> = {}): OwedRow {
  return { key: `${kind}:${ref}`, kind, rank: RANKS[kind], ref, visit: 'v', since: 0, tries: 0, nextAt: 0, ...over };
}
const refused = { status: 422, code: 'answer-invalid', says: 'no' };
const noLine = { status: 0, code: 'no-line', says: '' };

describe('what is sent next', () => {
  it('stops before facts, facts before the claim, the claim before photos, the oldest first', () => {
    const all = [
      owed('photo', 'p2', { since: 2 }),
      owed('photo', 'p1', { since: 1 }),
      owed('claim', 'c'),
      owed('fact', 'f'),
      owed('fact', 's', { rank: 0 }),
    ];
    const order: string[] = [];
    for (let left = all; left.length > 0;) {
      const next = nextErrand(left, false, NOW);
      if (next === undefined) break;
      order.push(next.ref);
      left = left.filter(({ key }) => key !== next.key);
    }
    expect(order).toEqual(['s', 'f', 'c', 'p1', 'p2']);
  });

  it('nothing that the service could not place: a claim and photos wait for the facts of their visit, not of another', () => {
    const waiting = owed('fact', 'f', { nextAt: NOW + 1000, trouble: noLine });
    expect(nextErrand([waiting, owed('claim', 'c'), owed('photo', 'p')], false, NOW)).toBeUndefined();
    expect(nextErrand([waiting, owed('claim', 'c', { visit: 'w' })], false, NOW)?.ref).toBe('c');
    // A fact that a person has to look at does not hold the claim back.
    expect(nextErrand([{ ...waiting, trouble: refused }, owed('claim', 'c')], false, NOW)?.ref).toBe('c');
  });

  it('once the line is up, what failed for want of one goes at once, and what was refused does not', () => {
    const later = { nextAt: NOW + 60_000, tries: 4 };
    const all = [owed('photo', 'p', { ...later, trouble: noLine }), owed('photo', 'q', { ...later, trouble: refused })];
    expect(nextErrand(all, false, NOW)).toBeUndefined();
    expect(nextErrand(all, true, NOW)?.ref).toBe('p');
  });

  it('asks for another look only when the photos are through', () => {
    expect(nextErrand([owed('again', 'c'), owed('photo', 'p', { nextAt: NOW + 1 })], false, NOW)).toBeUndefined();
    expect(nextErrand([owed('again', 'c')], false, NOW)?.ref).toBe('c');
  });
});

describe('room for photos', () => {
  it.each([
    [0, undefined, 'ok'],
    [149e6, 900e6, 'ok'],
    [0, 299e6, 'warn'],
    [150e6, 900e6, 'warn'],
    [200e6, undefined, 'full'],
  ] as const)('%d bytes held and %s free is %s', (held, free, room) => {
    expect(roomFor(held, free)).toBe(room);
  });
});
