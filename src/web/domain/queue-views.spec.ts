import { describe, expect, it } from 'vitest';
import { CLAIM_STATES } from '../../kernel/vocabulary.js';
import { countOf, QUEUE_VIEWS, queueView } from './queue-views.js';

const counts = { draft: 1, proposed: 5, 'needs information': 2, decided: 1, settled: 1, closed: 4, withdrawn: 1 };

describe('views of the queue', () => {
  it('keep apart what the first and what the second person decides', () => {
    expect(countOf(queueView('to-decide'), counts, 2, 0)).toBe(3);
    expect(countOf(queueView('second-person'), counts, 2, 0)).toBe(2);
  });

  it('count everything open without drafts and without what has ended', () => {
    expect(countOf(queueView('open'), counts, 2, 0)).toBe(9);
    expect(countOf(queueView('all'), counts, 2, 0)).toBe(15);
  });

  it('count what one has taken as the service counted it, and leave it out nowhere else', () => {
    expect(QUEUE_VIEWS.filter(({ mine }) => mine === true).map((view) => countOf(view, counts, 2, 3))).toEqual([3]);
    expect(countOf(queueView('open'), counts, 2, 3)).toBe(9);
  });

  it('lead every claim that somebody still has to do something about into one of the working views', () => {
    const working = QUEUE_VIEWS.filter(({ id }) => !['open', 'all', 'mine'].includes(id)).flatMap(
      ({ states }) => states ?? [],
    );
    const open = queueView('open').states ?? [];
    // While the service itself is at work on a claim, nobody has to do anything.
    expect(open.filter((state) => !working.includes(state))).toEqual(['filed', 'assessing']);
    expect(CLAIM_STATES.filter((state) => !open.includes(state))).toEqual(['draft', 'closed', 'withdrawn']);
  });

  it('of an unknown name are the first one', () => {
    expect(queueView('nonsense').id).toBe('to-decide');
  });
});
