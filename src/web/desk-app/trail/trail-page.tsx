import { getRouteApi, Link } from '@tanstack/react-router';
import type { ReactNode } from 'react';
import { showClaimNumber } from '../../../kernel/claim-number.js';
import { sentenceCase } from '../../domain/trade-words.js';
import { showTime } from '../../domain/time-words.js';
import { trailQuery, useTrail, type TrailLine, type TrailWish } from '../api/trail.js';
import { Empty, Failing, Loading } from '../parts/states.js';
import { useTitle } from '../parts/title.js';
import { useOnlooker } from '../shell.js';
import { ChainsCheck } from './chains-check.js';
import { TrailFilters } from './trail-filters.js';

const route = getRouteApi('/trail');

/** Who did what in the house. */
export function TrailPage(): ReactNode {
  const { source = '', who = '', kind = '', claim = '', from = '', to = '' } = route.useSearch();
  const wish = { source, who, kind, claim, from, to };
  const { data: onlooker } = useOnlooker();
  const found = useTrail(wish);
  useTitle('Trail');
  const lines = found.data?.pages.flatMap(({ items }) => items) ?? [];
  const narrowed = Object.values(wish).some((word) => word !== '');
  return (
    <>
      <div className="head">
        <h1>Trail</h1>
        <p className="row noprint">
          <a href={fileAddress(wish, 'csv')}>As CSV</a>
          <a href={fileAddress(wish, 'json')}>As JSON</a>
        </p>
      </div>
      <div className="stack">
        <p className="lead">Who did what. Nothing in it is ever changed or taken away.</p>
        <TrailFilters wish={wish} acts={onlooker?.acts ?? []} />
        {onlooker?.acts.includes('claim.verify') === true ? <ChainsCheck /> : null}
        {found.isPending ? <Loading what="the trail" /> : null}
        {found.isError ? <Failing trouble={found.error} again={() => void found.refetch()} /> : null}
        {found.data && lines.length === 0 ? (
          <Empty>
            {narrowed
              ? 'Nobody did anything like that. Leave out a filter to see more.'
              : 'Nobody has done anything yet. Whatever is done from now on stands here.'}
          </Empty>
        ) : null}
        {lines.length > 0 ? <Lines lines={lines} /> : null}
        {found.hasNextPage ? (
          <p>
            <button type="button" disabled={found.isFetchingNextPage} onClick={() => void found.fetchNextPage()}>
              {found.isFetchingNextPage ? 'Fetching…' : 'Earlier'}
            </button>
          </p>
        ) : null}
      </div>
    </>
  );
}

function fileAddress(wish: TrailWish, format: 'csv' | 'json'): string {
  const query = trailQuery(wish);
  query.set('format', format);
  return `/v1/events/export?${query.toString()}`;
}

function Lines({ lines }: { readonly lines: readonly TrailLine[] }): ReactNode {
  return (
    <table className="cards">
      <caption className="away">What was done, the newest first</caption>
      <thead>
        <tr>
          <th scope="col">When</th>
          <th scope="col">Who</th>
          <th scope="col">What</th>
          <th scope="col">To which</th>
        </tr>
      </thead>
      <tbody>
        {lines.map((line) => (
          <tr key={`${line.about} ${line.n}`}>
            <td data-label="When">
              <time dateTime={line.at}>{showTime(line.at, Temporal.Now.timeZoneId())}</time>
            </td>
            <td data-label="Who">
              {line.actor.name}
              <span className="sub">{WHO_IS[line.actor.kind] ?? line.actor.kind}</span>
            </td>
            <th scope="row">
              {sentenceCase(line.kind.replaceAll('-', ' '))}
              {wordsBeside(line) === '' ? null : <span className="sub">{wordsBeside(line)}</span>}
            </th>
            <td data-label="To which">
              <Which line={line} />
            </td>
          </tr>
        ))}
      </tbody>
    </table>
  );
}

/** What was written or chosen, without the name that stands beside it anyway. */
function wordsBeside({ words, label }: TrailLine): string {
  return words
    .split(' · ')
    .filter((word) => word !== label)
    .join(' · ');
}

const WHO_IS: Readonly<Record<string, string>> = {
  person: 'Signed in',
  key: 'A program, by key',
  link: 'A crew, by link',
  service: 'The service itself',
};

function Which({ line: { source, label, claim, about, hash } }: { readonly line: TrailLine }): ReactNode {
  const chained =
    hash === undefined ? null : (
      <span className="hash sub" title="SHA-256 of this entry and the one before">
        {hash.slice(0, 12)}…
      </span>
    );
  if (source === 'claims')
    return (
      <>
        <Link className="number" to="/claims/$id" params={{ id: about }} preload={false}>
          Claim {label === undefined ? 'in draft' : showClaimNumber(label)}
        </Link>
        {chained}
      </>
    );
  if (source === 'recoveries')
    return (
      <>
        <Link to="/recoveries/$id" params={{ id: about }} preload={false}>
          Demand on {label ?? 'a party'}
        </Link>
        {claim === undefined ? null : chained}
      </>
    );
  return <>{label ?? ''}</>;
}
