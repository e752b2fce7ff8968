import { describe, expect, it } from 'vitest';
import { CLAIM_STATES } from '../../kernel/vocabulary.js';
import { BOARD_VIEWS, boardAddress, boardFilter, boardView, daysOpen } from './board-views.js';

describe('views of the board', () => {
  it('put each state into exactly one of open, decided and closed', () => {
    const counted = CLAIM_STATES.map((state) => [
      state,
      BOARD_VIEWS.filter(({ states }) => states?.includes(state)).length,
    ]);
    expect(counted).toEqual(CLAIM_STATES.map((state) => [state, 1]));
  });

  it('an unknown one is all claims', () => {
    expect(boardFilter({ view: boardView('"><'), find: '', ground: '' })).toEqual({});
    expect(boardFilter({ view: boardView('yours'), find: 'KR-1', ground: 'shortage' })).toEqual({
      asked: 'retailer',
      find: 'KR-1',
      ground: 'shortage',
    });
  });

  it('have addresses that lead back to them', () => {
    const choice = { view: boardView('closed'), find: 'A&B =1', ground: 'dead on arrival' } as const;
    const address = new URL(boardAddress('/claims', choice, { cursor: 'x' }), 'http://x');
    expect(Object.fromEntries(address.searchParams)).toEqual({
      view: 'closed',
      find: 'A&B =1',
      ground: 'dead on arrival',
      cursor: 'x',
    });
    expect(boardAddress('/claims', { view: boardView('all'), find: '', ground: '' })).toBe('/claims');
  });
});

describe('how long a claim has been open', () => {
  it('is counted in whole days until it ends', () => {
    const opened = '2026-03-02T10:00:00Z';
    expect(daysOpen('filed', opened, '2026-03-02T12:00:00Z')).toBe(0);
    expect(daysOpen('decided', opened, '2026-03-04T09:59:00Z')).toBe(1);
    expect(daysOpen('decided', opened, '2026-03-04T10:00:00Z')).toBe(2);
    for (const state of ['settled', 'closed', 'withdrawn'] as const)
      expect(daysOpen(state, opened, '2026-03-09T10:00:00Z')).toBeUndefined();
  });
});
