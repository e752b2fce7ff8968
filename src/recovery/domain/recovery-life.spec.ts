import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { postingFaults } from '../../kernel/double-entry.js';
import { RECOVERY_STATES, type RecoveryStanding } from '../recovery.contract.js';
import { act, demandChanged, outstandingMinor, type Moved, type RecoveryAct } from './recovery-life.js';

const OPEN: RecoveryStanding = {
  state: 'open',
  demandedMinor: 90_000,
  bookedMinor: 0,
  offeredMinor: null,
  paidMinor: 0,
  salvageMinor: 0,
  writtenOffMinor: 0,
};

function done(standing: RecoveryStanding, ...wishes: readonly RecoveryAct[]): Moved {
  let last: Moved = { ok: true, next: standing, event: 'recovery-opened', postings: [], amountMinor: 0 };
  for (const wish of wishes) {
    const moved = act('carrier', last.next, wish);
    if (!moved.ok) throw new Error(`${wish.kind}: ${moved.detail}`);
    last = moved;
  }
  return last;
}
const refusal = (standing: RecoveryStanding, wish: RecoveryAct): string | undefined => {
  const moved = act('carrier', standing, wish);
  return moved.ok ? undefined : moved.refusal;
};
const SENT = done(OPEN, { kind: 'send' }).next;

describe('a demand', () => {
  it('becomes a debt when it is sent', () => {
    const sent = done(OPEN, { kind: 'send' });
    expect(sent.next).toMatchObject({ state: 'sent', bookedMinor: 90_000 });
    expect(sent.postings).toEqual([
      { account: 'party:carrier', amountMinor: 90_000 },
      { account: 'loss', amountMinor: -90_000 },
    ]);
  });

  it('is paid in part, then paid', () => {
    const part = done(SENT, { kind: 'pay', amountMinor: 50_000 });
    expect(part.next.state).toBe('paid in part');
    expect(done(part.next, { kind: 'pay', amountMinor: 40_000 }).next.state).toBe('paid');
  });

  // Salvage is credited and the claim is never below nothing (49 CFR 370.11): 900.00 less 140.00, and less 950.00.
  it.each([
    [14_000, 76_000, 'sent', 0],
    [95_000, 0, 'paid', 5_000],
  ])('less salvage of %i leaves %i', (proceeds, left, state, beyond) => {
    const credited = done(SENT, { kind: 'credit salvage', amountMinor: proceeds });
    expect([outstandingMinor(credited.next), credited.next.state]).toEqual([left, state]);
    expect(credited.postings.find(({ account }) => account === 'bank')?.amountMinor).toBe(proceeds);
    expect(credited.postings.find(({ account }) => account === 'salvage')?.amountMinor ?? 0).toBe(0 - beyond);
  });

  it('is written off, all of it or a part, and takes a late payment back out of the loss', () => {
    const part = done(SENT, { kind: 'write off', amountMinor: 30_000 }).next;
    expect([part.state, outstandingMinor(part)]).toEqual(['sent', 60_000]);
    const all = done(part, { kind: 'write off' }).next;
    expect(all).toMatchObject({ state: 'written off', writtenOffMinor: 90_000 });
    const late = done(all, { kind: 'pay', amountMinor: 10_000 });
    expect(late.next).toMatchObject({ state: 'written off', paidMinor: 10_000, writtenOffMinor: 80_000 });
    expect(late.postings).toEqual([
      { account: 'bank', amountMinor: 10_000 },
      { account: 'loss', amountMinor: -10_000 },
    ]);
    expect(refusal(late.next, { kind: 'pay', amountMinor: 80_001 })).toBe('amount-exceeds');
  });

  it('takes no more than is owed, and no amount of nothing', () => {
    for (const kind of ['pay', 'offer', 'write off'] as const) {
      expect(refusal(SENT, { kind, amountMinor: 90_001 })).toBe('amount-exceeds');
      expect(refusal(SENT, { kind, amountMinor: 0 })).toBe('amount-exceeds');
    }
    expect(refusal(SENT, { kind: 'credit salvage', amountMinor: 0 })).toBe('amount-exceeds');
  });

  it('lets each act be done only where it stands', () => {
    const allowed = (kind: RecoveryAct['kind']): string[] =>
      RECOVERY_STATES.filter((state) => {
        const standing = { ...OPEN, state, bookedMinor: 90_000, writtenOffMinor: state === 'written off' ? 90_000 : 0 };
        return refusal(standing, { kind, amountMinor: 1 }) !== 'recovery-state-forbids';
      });
    const SENT_STATES = ['sent', 'acknowledged', 'offered', 'paid in part', 'declined'];
    expect(allowed('send')).toEqual(['open']);
    expect(allowed('acknowledge')).toEqual(['sent', 'offered', 'paid in part', 'declined']);
    expect(allowed('offer')).toEqual(SENT_STATES);
    expect(allowed('pay')).toEqual([...SENT_STATES, 'written off']);
    expect(allowed('credit salvage')).toEqual(SENT_STATES);
    expect(allowed('decline')).toEqual(['sent', 'acknowledged', 'offered', 'paid in part']);
    expect(allowed('write off')).toEqual(SENT_STATES);
  });
});

describe('a demand that another decision changes', () => {
  it('is withdrawn when nothing is left of one never sent, and opened again by more', () => {
    const gone = demandChanged(OPEN, 0);
    expect(gone.state).toBe('withdrawn');
    expect(demandChanged(gone, 500)).toMatchObject({ state: 'open', demandedMinor: 500 });
  });

  it('keeps its state where the amount stays the same', () => {
    expect(demandChanged({ ...SENT, state: 'acknowledged' }, 90_000).state).toBe('acknowledged');
  });

  it('is sent again for the difference, which may be less than what was paid', () => {
    const paid = done(SENT, { kind: 'pay', amountMinor: 50_000 }).next;
    const less = done(demandChanged(paid, 40_000), { kind: 'send' });
    expect(less.amountMinor).toBe(-50_000);
    // 100.00 too much was paid: that is owed back, and nothing is demanded any more.
    expect([less.next.state, outstandingMinor(less.next)]).toEqual(['paid', -10_000]);
  });
});

describe('any acts in any order', () => {
  const amount = fc.integer({ min: -5, max: 120_000 });
  const wishes = fc.array(
    fc.oneof(
      fc.constantFrom<RecoveryAct>(
        { kind: 'send' },
        { kind: 'acknowledge' },
        { kind: 'decline' },
        { kind: 'write off' },
      ),
      fc.record({ kind: fc.constantFrom('offer', 'pay', 'credit salvage', 'write off'), amountMinor: amount }),
    ),
    { maxLength: 20 },
  );

  it('balance, never take a party below nothing, and end as paid or written off exactly when nothing is owed', () => {
    fc.assert(
      fc.property(fc.nat({ max: 100_000 }), wishes, (demandedMinor, wished) => {
        let standing: RecoveryStanding = { ...OPEN, demandedMinor };
        let owed = 0;
        for (const wish of wished) {
          const moved = act('carrier', standing, wish);
          if (!moved.ok) continue;
          if (moved.postings.length > 0) expect(postingFaults(moved.postings)).toEqual([]);
          owed += moved.postings.find(({ account }) => account === 'party:carrier')?.amountMinor ?? 0;
          standing = moved.next;
          expect(outstandingMinor(standing)).toBe(owed);
          expect(owed).toBeGreaterThanOrEqual(0);
        }
        if (standing.state === 'paid' || standing.state === 'written off') expect(owed).toBe(0);
        if (standing.state !== 'open' && owed === 0)
          expect(['paid', 'written off', 'declined', 'acknowledged', 'offered']).toContain(standing.state);
      }),
    );
  });
});
