import { Link } from '@tanstack/react-router';
import type { ReactNode } from 'react';
import type { OwnView, QueueData } from '../../domain/desk-data.js';
import { countOf, QUEUE_VIEWS } from '../../domain/queue-views.js';
import type { QueueWish } from './queue-wish.js';

interface ViewsProps {
  readonly wish: QueueWish;
  readonly own: readonly OwnView[];
  readonly first: Pick<QueueData, 'counts' | 'awaiting' | 'mine'> | undefined;
}

/** The views that everybody has, then those that the person keeps. */
export function QueueViews({ wish, own, first }: ViewsProps): ReactNode {
  const plain = wish.find === '' && wish.ground === '';
  return (
    <nav className="views" aria-label="Views of the queue">
      {QUEUE_VIEWS.map((each) => (
        <Link
          key={each.id}
          to="/"
          search={{ view: each.id }}
          aria-current={each.id === wish.view && plain ? 'page' : undefined}
        >
          {each.says}
          <span className="quiet figures">{first ? countOf(each, first.counts, first.awaiting, first.mine) : ''}</span>
        </Link>
      ))}
      {own.map((each) => (
        <Link key={each.id} to="/" search={searchOf(each)} aria-current={isOwn(each, wish) ? 'page' : undefined}>
          {each.name}
        </Link>
      ))}
    </nav>
  );
}

/** What the address says of a view of one's own. */
export function searchOf({ view, find, ground }: Omit<OwnView, 'id' | 'name'>) {
  return { view, ...(find === '' ? {} : { find }), ...(ground === '' ? {} : { ground }) };
}

/** Whether the queue shows a view of one's own, as the person keeps it. */
export function isOwn(view: OwnView, wish: QueueWish): boolean {
  return view.view === wish.view && view.find === wish.find && view.ground === wish.ground;
}
