import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { Clock } from '../../adjudication/adjudication.contract.js';
import {
  ended,
  matters,
  nearestDue,
  nearestPromise,
  nextLook,
  raiseOf,
  recordOf,
  type ClockRecord,
} from './clock-watch.js';
import { toldBy } from './happenings.js';

const clock = (changes: Partial<Clock> = {}): Clock => ({
  id: 'c',
  title: 'A clock',
  ground: 'ground',
  source: 'source',
  owedBy: 'seller',
  lapse: 'barred',
  state: 'running',
  startedAt: '2026-03-01T09:00:00+01:00',
  lastDay: '2026-03-10',
  endsAt: '2026-03-11T05:00:00Z',
  effect: 'effect',
  warnsAt: ['2026-03-07T05:00:00Z', '2026-03-09T05:00:00Z'],
  ...changes,
});
const [FIRST, SECOND, END] = [
  '2026-03-07T05:00:00.000Z',
  '2026-03-09T05:00:00.000Z',
  '2026-03-11T05:00:00.000Z',
] as const;

describe('the record of a clock', () => {
  it('keeps instants in UTC with milliseconds, so that they can be compared as text', () => {
    expect(recordOf(clock(), undefined)).toMatchObject({
      startedAt: '2026-03-01T08:00:00.000Z',
      endsAt: END,
      warnsAt: [FIRST, SECOND],
      occurrence: 1,
      pausedAt: null,
    });
  });

  it('remembers what was raised', () => {
    const known: ClockRecord = { ...recordOf(clock(), undefined), warnedAt: [FIRST], missedAt: END };
    expect(recordOf(clock({ state: 'missed' }), known)).toMatchObject({ warnedAt: [FIRST], missedAt: END });
  });

  it('forgets a miss only where the clock got another end that is still ahead', () => {
    const known: ClockRecord = { ...recordOf(clock(), undefined), missedAt: END };
    expect(recordOf(clock({ endsAt: '2026-04-01T04:00:00Z' }), known).missedAt).toBeNull();
    expect(recordOf(clock({ endsAt: '2026-04-01T04:00:00Z', state: 'missed' }), known).missedAt).toBe(END);
    expect(recordOf(clock(), known).missedAt).toBe(END);
  });
});

describe('the next look', () => {
  const record = recordOf(clock(), undefined);
  it.each([
    ['the first warning', record, FIRST],
    ['the next one', { ...record, warnedAt: [FIRST] }, SECOND],
    ['the end', { ...record, warnedAt: [FIRST, SECOND] }, END],
    ['at once, for a miss that nobody raised', { ...record, state: 'missed' }, END],
    ['never, once it was raised', { ...record, state: 'missed', missedAt: END }, null],
    ['never, when it is met', { ...record, state: 'met' }, null],
    ['never, while it stands still', { ...record, endsAt: null }, null],
    ['never, before it starts', { ...record, state: 'not started' }, null],
  ] as const)('is %s', (_when, of, expected) => {
    expect(nextLook(of)).toBe(expected);
  });
});

describe('what is raised', () => {
  const record = recordOf(clock(), undefined);

  it('is nothing before its time, and one warning for all that are due', () => {
    expect(raiseOf(record, '2026-03-07T04:59:59.999Z')).toBeUndefined();
    expect(raiseOf(record, FIRST)).toMatchObject({ kind: 'clock-warned', after: { warnedAt: [FIRST] } });
    expect(raiseOf(record, '2026-03-10T00:00:00.000Z')?.after.warnedAt).toEqual([FIRST, SECOND]);
  });

  it('is nothing of a clock that is met, stands still or has ended', () => {
    expect(raiseOf({ ...record, state: 'met' }, END)).toBeUndefined();
    expect(raiseOf({ ...record, endsAt: null }, END)).toBeUndefined();
    expect(raiseOf(ended(record), END)).toBeUndefined();
    expect(ended({ ...record, state: 'missed' }).state).toBe('ended');
    expect(ended({ ...record, state: 'missed', missedAt: END }).state).toBe('missed');
  });

  it('is each warning and the miss at most once, whenever and however often somebody looks', () => {
    const minutes = fc.array(fc.integer({ min: 0, max: 20 * 24 * 60 }), { maxLength: 40 });
    fc.assert(
      fc.property(minutes, (looks) => {
        const start = Temporal.Instant.from('2026-03-01T08:00:00Z');
        let record = recordOf(clock(), undefined);
        const raised: string[] = [];
        for (const minute of looks.toSorted((a, b) => a - b)) {
          const at = start.add({ minutes: minute }).toString({ fractionalSecondDigits: 3 });
          record = recordOf(clock({ state: at < END ? 'running' : 'missed' }), record);
          const look = nextLook(record);
          const raise = raiseOf(record, at);
          // The watch looks when it has to, and when it has to there is something to raise.
          expect(look !== null && look <= at).toBe(raise !== undefined);
          if (raise === undefined) continue;
          record = raise.after;
          raised.push(raise.kind);
        }
        expect(raised.filter((kind) => kind === 'clock-missed').length).toBeLessThanOrEqual(1);
        expect(raised.filter((kind) => kind === 'clock-warned').length).toBeLessThanOrEqual(2);
        const last = looks.length === 0 ? 0 : Math.max(...looks);
        if (start.add({ minutes: last }).toString({ fractionalSecondDigits: 3 }) >= END)
          expect(raised).toContain('clock-missed');
      }),
    );
  });
});

describe('clocks of a claim that is over', () => {
  const outliving = { safety: new Set(['hazard']), carrier: new Set(['suit']) };
  it.each([
    ['hazard', 'withdrawn', false, true],
    ['suit', 'withdrawn', true, false],
    ['hazard', 'closed', false, true],
    ['suit', 'closed', true, true],
    ['suit', 'closed', false, false],
    ['refund', 'closed', true, false],
    ['refund', 'settled', true, true],
  ] as const)('%s in a %s claim, served: %s, matters: %s', (id, state, served, expected) => {
    expect(matters(id, state, outliving, served)).toBe(expected);
  });

  it('leave no due date; an open claim has the nearest running one', () => {
    const later = recordOf(clock({ id: 'd', title: 'Later', endsAt: '2026-05-01T00:00:00Z' }), undefined);
    const met = recordOf(clock({ id: 'e', state: 'met', endsAt: '2026-03-02T00:00:00Z' }), undefined);
    const records = [later, met, recordOf(clock(), undefined)];
    expect(nearestDue(records, 'decided')).toEqual({ dueAt: END, dueClock: 'A clock' });
    for (const state of ['settled', 'closed', 'withdrawn'] as const) {
      expect(nearestDue(records, state)).toEqual({ dueAt: null, dueClock: null });
    }
    expect(nearestDue([], 'proposed')).toEqual({ dueAt: null, dueClock: null });
  });
});

describe('what a retailer may expect by when', () => {
  const outliving = { safety: new Set(['hazard']), carrier: new Set(['acknowledge']) };
  const by = (...clocks: Parameters<typeof clock>[0][]) =>
    nearestPromise(
      clocks.map((each) => recordOf(clock(each), undefined)),
      'decided',
      outliving,
    );
  const REFUND = { id: 'refund', owedBy: 'seller', lapse: 'breach', endsAt: '2026-05-01T00:00:00Z' } as const;

  it('is the nearest promise of the house or the seller', () => {
    const look = { id: 'look', owedBy: 'service', lapse: 'internal', endsAt: '2026-04-01T00:00:00Z' } as const;
    expect(by(REFUND, look)).toBe('2026-04-01T00:00:00.000Z');
  });

  it.each([
    ['the end of a right against a carrier', { id: 'file', owedBy: 'seller', lapse: 'barred' }],
    ['the notice of concealed damage', { id: 'notice', owedBy: 'seller', lapse: 'burden shifts' }],
    ['what a carrier owes', { id: 'acknowledge', owedBy: 'carrier', lapse: 'breach' }],
    ['a clock of the dispute with the carrier', { id: 'acknowledge', owedBy: 'seller', lapse: 'breach' }],
    ['the report of a hazard', { id: 'hazard', owedBy: 'service', lapse: 'breach' }],
    ['what the customer has to do', { id: 'reject', owedBy: 'customer', lapse: 'breach' }],
  ] as const)('is not %s', (_what, other) => {
    expect(by({ ...other, endsAt: '2026-03-01T00:00:00Z' })).toBeNull();
    expect(by({ ...other, endsAt: '2026-03-01T00:00:00Z' }, REFUND)).toBe('2026-05-01T00:00:00.000Z');
  });

  it('is nothing once the claim is over', () => {
    expect(nearestPromise([recordOf(clock(REFUND), undefined)], 'settled', outliving)).toBeNull();
  });
});

describe('notes of what happened', () => {
  it('count with the newest of each kind, and every status letter', () => {
    const note = (what: 'refund agreed' | 'carrier status letter', at: string) => ({ what, at });
    const told = toldBy([
      note('refund agreed', '2026-03-05T00:00:00Z'),
      note('carrier status letter', '2026-05-02T00:00:00Z'),
      note('refund agreed', '2026-03-04T00:00:00Z'),
      note('carrier status letter', '2026-07-01T00:00:00Z'),
    ]);
    expect(told).toEqual({
      events: { 'refund agreed': '2026-03-04T00:00:00Z' },
      statusLetters: ['2026-05-02T00:00:00Z', '2026-07-01T00:00:00Z'],
    });
  });
});
