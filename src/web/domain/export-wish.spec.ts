import { DateTime } from 'luxon';
import { describe, expect, it } from 'vitest';
import { EXPORT_COLUMNS } from './claims-export.js';
import { nextTick, wishAt, wishFilter, wishQuery, type ExportWish } from './export-wish.js';

const WISH: ExportWish = {
  format: 'csv',
  columns: EXPORT_COLUMNS,
  view: 'all',
  find: '',
  ground: '',
  from: '',
  to: '',
};

describe('when a file is made by itself', () => {
  it('is the next Monday or first of a month at nine in UTC, as luxon counts them', () => {
    for (let hour = 0; hour < 24 * 400; hour += 7) {
      const after = DateTime.fromISO('2026-01-01T00:30:00Z', { zone: 'utc' }).plus({ hours: hour });
      for (const unit of ['week', 'month'] as const) {
        const start = after.startOf(unit).set({ hour: 9 });
        const expected = start > after ? start : start.plus({ [unit]: 1 });
        const tick = nextTick(unit, Temporal.Instant.from(after.toISO() ?? ''));
        expect(tick.epochMilliseconds, `${unit} after ${after.toISO() ?? ''}`).toBe(expected.toMillis());
      }
    }
  });

  it('is after the moment itself, so that one file is not made twice', () => {
    const tick = nextTick('week', Temporal.Instant.from('2026-03-02T08:59:59Z'));
    expect(tick.toString()).toBe('2026-03-02T09:00:00Z');
    expect(nextTick('week', tick).toString()).toBe('2026-03-09T09:00:00Z');
  });
});

describe('what is in it', () => {
  const spans = (every: 'week' | 'month', tick: string) => {
    const { from, to } = wishAt({ ...WISH, newOnly: true }, every, Temporal.Instant.from(tick));
    return [from, to];
  };

  it('is the week or month that has ended, without gap or overlap', () => {
    expect(spans('week', '2026-03-09T09:00:00Z')).toEqual(['2026-03-02', '2026-03-08']);
    expect(spans('week', '2026-03-16T09:00:00Z')).toEqual(['2026-03-09', '2026-03-15']);
    expect(spans('month', '2026-03-01T09:00:00Z')).toEqual(['2026-02-01', '2026-02-28']);
    expect(spans('month', '2026-04-01T09:00:00Z')).toEqual(['2026-03-01', '2026-03-31']);
  });

  it('is everything where nothing else is wished', () => {
    expect(wishAt(WISH, 'month', Temporal.Instant.from('2026-03-01T09:00:00Z'))).toEqual(WISH);
    expect(wishFilter(WISH)).toEqual({ order: 'opened' });
  });

  it('takes in the whole of its last day', () => {
    expect(wishFilter({ ...WISH, from: '2026-02-28', to: '2026-02-28' })).toEqual({
      order: 'opened',
      openedFrom: '2026-02-28T00:00:00Z',
      openedBefore: '2026-03-01T00:00:00Z',
    });
  });
});

it('the address of a wish holds all of it', () => {
  const wish = {
    ...WISH,
    format: 'json',
    columns: ['claim', 'next by'],
    view: 'open',
    find: 'A&B',
    to: '2026-03-01',
  } as const;
  const query = new URLSearchParams(wishQuery(wish));
  expect(query.getAll('columns')).toEqual(['claim', 'next by']);
  expect([...query].filter(([name]) => name !== 'columns')).toEqual([
    ['format', 'json'],
    ['view', 'open'],
    ['find', 'A&B'],
    ['to', '2026-03-01'],
  ]);
});
