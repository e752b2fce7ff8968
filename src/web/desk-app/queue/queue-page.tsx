import { useInfiniteQuery } from '@tanstack/react-query';
import { getRouteApi, Link, useNavigate } from '@tanstack/react-router';
import { useEffect, useMemo, useRef, type ReactNode, type RefObject } from 'react';
import { GROUNDS } from '../../../kernel/vocabulary.js';
import type { QueueData } from '../../domain/desk-data.js';
import { QUEUE_VIEWS, queueView } from '../../domain/queue-views.js';
import { GROUND_WORDS } from '../../domain/trade-words.js';
import { read } from '../api/http.js';
import { useOwnViews } from '../api/views.js';
import { useKeys } from '../keys.js';
import { Pick } from '../parts/pick.js';
import { Empty, Failing, Loading } from '../parts/states.js';
import { useTitle } from '../parts/title.js';
import { KeepView } from './keep-view.js';
import { keepQueue } from './last-queue.js';
import { QueueList } from './queue-list.js';
import { isOwn, QueueViews, searchOf } from './queue-views.js';
import type { QueueWish } from './queue-wish.js';

const route = getRouteApi('/');

/** The desk's queue: what is due first stands first. */
export function QueuePage(): ReactNode {
  const { view: viewId = '', find = '', ground: asked = '' } = route.useSearch();
  const view = queueView(viewId);
  const ground = GROUNDS.find((each) => each === asked) ?? '';
  const wish: QueueWish = { view: view.id, find, ground };
  const navigate = useNavigate();
  const pages = useQueue(wish);
  const own = useOwnViews().data ?? [];
  useTitle(`${own.find((each) => isOwn(each, wish))?.name ?? view.says} · Queue`);
  const search = useRef<HTMLInputElement>(null);
  const lines = useMemo(() => pages.data?.pages.flatMap((page) => page.lines) ?? [], [pages.data]);
  const asIs = useMemo(() => searchOf({ view: view.id, find, ground }), [view.id, find, ground]);
  useEffect(() => {
    const ids = lines.map(({ id }) => id);
    keepQueue(ids, asIs);
  }, [lines, asIs]);
  useKeys({ v: () => void navigate({ to: '/', search: nextView(wish, own) }) });
  const first = pages.data?.pages[0];
  const narrowed = find !== '' || ground !== '';
  return (
    <>
      <div className="head">
        <h1>Queue</h1>
        <Find
          box={search}
          find={find}
          onFind={(typed) => void navigate({ to: '/', search: typed === '' ? {} : { find: typed, view: 'all' } })}
        />
      </div>
      <QueueViews wish={wish} own={own} first={first} />
      <div className="row filters">
        <Pick
          id="ground"
          label="About"
          value={ground}
          onPick={(picked) => void navigate({ to: '/', search: searchOf({ ...wish, ground: picked }), replace: true })}
          options={[['', 'Everything'], ...GROUNDS.map((each) => [each, GROUND_WORDS[each]] as const)]}
        />
        <KeepView wish={wish} own={own} />
      </div>
      {find === '' ? null : (
        <p>
          {lines.length === 0 && !pages.isPending ? `Nothing is found for “${find}”.` : `Found for “${find}”:`}{' '}
          <Link to="/">Back to the queue</Link>
        </p>
      )}
      {pages.isError ? <Failing trouble={pages.error} again={() => void pages.refetch()} /> : null}
      {pages.isPending ? <Loading what="the queue" /> : null}
      {first && lines.length === 0 && find === '' ? (
        <Empty>{narrowed ? 'Nothing in this view is about that. Choose “Everything”.' : view.empty}</Empty>
      ) : null}
      {first && lines.length > 0 ? (
        <QueueList key={JSON.stringify(wish)} lines={lines} now={first.now} says={view.says} search={asIs} />
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

function useQueue(wish: QueueWish) {
  return useInfiniteQuery({
    queryKey: ['claims', wish.view, wish.find, wish.ground],
    initialPageParam: '',
    queryFn: async ({ signal, pageParam }) => {
      const query = new URLSearchParams({ ...wish, cursor: pageParam });
      return (await read<QueueData>(`/desk-data/queue?${query.toString()}`, signal)).body;
    },
    getNextPageParam: (page) => page.next,
  });
}

function nextView(wish: QueueWish, own: Parameters<typeof QueueViews>[0]['own']) {
  const all = [...QUEUE_VIEWS.map(({ id }) => ({ view: id, find: '', ground: '' })), ...own];
  const at = all.findIndex(
    ({ view, find, ground }) => view === wish.view && find === wish.find && ground === wish.ground,
  );
  return searchOf(all[(at + 1) % all.length] ?? { view: QUEUE_VIEWS[0].id, find: '', ground: '' });
}

interface FindProps {
  readonly box: RefObject<HTMLInputElement | null>;
  readonly find: string;
  readonly onFind: (typed: string) => void;
}

function Find({ box, find, onFind }: FindProps): ReactNode {
  return (
    <form
      className="find"
      role="search"
      onSubmit={(event) => {
        event.preventDefault();
        onFind(box.current?.value.trim() ?? '');
      }}
    >
      <div className="field">
        <label htmlFor="find">Claim number, serial or order</label>
        <input id="find" ref={box} type="search" maxLength={80} defaultValue={find} key={find} />
      </div>
      <button>Find</button>
    </form>
  );
}
