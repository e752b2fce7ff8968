import { useInfiniteQuery } from '@tanstack/react-query';
import { getRouteApi, Link, useNavigate } from '@tanstack/react-router';
import { useEffect, useLayoutEffect, useRef, useState, type ReactNode } from 'react';
import type { QueueData } from '../../domain/desk-data.js';
import { countOf, QUEUE_VIEWS, queueView } from '../../domain/queue-views.js';
import { read } from '../api/http.js';
import { useKeys } from '../keys.js';
import { Empty, Failing, Loading } from '../parts/states.js';
import { useTitle } from '../parts/title.js';
import { QueueTable } from './queue-table.js';

const route = getRouteApi('/');

/** The desk's queue: what is due first stands first. */
export function QueuePage(): ReactNode {
  const { view: viewId = '', find = '' } = route.useSearch();
  const view = queueView(viewId);
  const navigate = useNavigate();
  const pages = useInfiniteQuery({
    queryKey: ['claims', view.id, find],
    initialPageParam: '',
    queryFn: async ({ signal, pageParam }) => {
      const query = new URLSearchParams({ view: view.id, find, cursor: pageParam });
      return (await read<QueueData>(`/desk-data/queue?${query.toString()}`, signal)).body;
    },
    getNextPageParam: (page) => page.next,
  });
  useTitle(`${view.says} · Queue`);
  const search = useRef<HTMLInputElement>(null);
  const lines = pages.data?.pages.flatMap((page) => page.lines) ?? [];
  const [at, setAt] = useState(0);
  useEffect(() => setAt(0), [view.id, find]);
  const here = Math.min(at, lines.length - 1);
  const table = useRef<HTMLTableElement>(null);
  useLayoutEffect(() => {
    table.current?.tBodies[0]?.rows[here]?.scrollIntoView({ block: 'nearest' });
  }, [here]);
  useKeys({
    j: () => setAt(Math.min(here + 1, lines.length - 1)),
    k: () => setAt(Math.max(here - 1, 0)),
    Enter: () => {
      const line = lines[here];
      if (line) void navigate({ to: '/claims/$id', params: { id: line.id } });
    },
    '/': () => search.current?.focus(),
    v: () => {
      const next = QUEUE_VIEWS[(QUEUE_VIEWS.indexOf(view) + 1) % QUEUE_VIEWS.length];
      if (next) void navigate({ to: '/', search: { view: next.id } });
    },
  });
  const first = pages.data?.pages[0];
  return (
    <>
      <div className="head">
        <h1>Queue</h1>
        <form
          className="find"
          role="search"
          onSubmit={(event) => {
            event.preventDefault();
            const typed = search.current?.value.trim() ?? '';
            void navigate({ to: '/', search: typed === '' ? {} : { find: typed, view: 'all' } });
          }}
        >
          <div className="field">
            <label htmlFor="find">Claim number, serial or order</label>
            <input id="find" ref={search} type="search" maxLength={80} defaultValue={find} key={find} />
          </div>
          <button>Find</button>
        </form>
      </div>
      <nav className="views" aria-label="Views of the queue">
        {QUEUE_VIEWS.map((each) => (
          <Link
            key={each.id}
            to="/"
            search={{ view: each.id }}
            aria-current={each.id === view.id && find === '' ? 'page' : undefined}
          >
            {each.says}
            <span className="quiet figures">{first ? countOf(each, first.counts, first.awaiting) : ''}</span>
          </Link>
        ))}
      </nav>
      {find === '' ? null : (
        <p>
          {lines.length === 0 && !pages.isPending ? `Nothing is found for “${find}”.` : `Found for “${find}”:`}{' '}
          <Link to="/">Back to the queue</Link>
        </p>
      )}
      {pages.isError ? <Failing trouble={pages.error} again={() => void pages.refetch()} /> : null}
      {pages.isPending ? <Loading what="the queue" /> : null}
      {first && lines.length === 0 && find === '' ? <Empty>{view.empty}</Empty> : null}
      {first && lines.length > 0 ? (
        <QueueTable ref={table} lines={lines} now={first.now} says={view.says} here={here} />
      ) : null}
      {pages.hasNextPage ? (
        <button
          type="button"
          className="do"
          disabled={pages.isFetchingNextPage}
          onClick={() => void pages.fetchNextPage()}
        >
          {pages.isFetchingNextPage ? 'Fetching…' : 'Show more claims'}
        </button>
      ) : null}
    </>
  );
}
