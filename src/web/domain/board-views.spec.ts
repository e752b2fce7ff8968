import { describe, expect, it } from 'vitest';
import { CLAIM_STATES } from '../../kernel/vocabulary.js';
import { BOARD_VIEWS, boardAddress, boardFilter, boardView } from './board-views.js';

describe('views of the board', () => {
  it('put each state into exactly one of open, decided and closed', () => {
    const counted = CLAIM_STATES.map((state) => [
      state,
      BOARD_VIEWS.filter(({ states }) => states?.includes(state)).length,
    ]);
    expect(counted).toEqual(CLAIM_STATES.map((state) => [state, 1]));
  });

  it('an unknown one is all claims', () => {
    expect(boardFilter(boardView('"><'), '')).toEqual({});
    expect(boardFilter(boardView('yours'), 'KR-1')).toEqual({ asked: 'retailer', find: 'KR-1' });
  });

  it('have addresses that lead back to them', () => {
    const address = new URL(boardAddress('/claims', boardView('closed'), 'A&B =1', { cursor: 'x' }), 'http://x');
    expect(Object.fromEntries(address.searchParams)).toEqual({ view: 'closed', find: 'A&B =1', cursor: 'x' });
    expect(boardAddress('/claims', boardView('all'), '')).toBe('/claims');
  });
});
