import { getRouteApi, Link, useNavigate } from '@tanstack/react-router';
import type { ReactNode } from 'react';
import { showClaimNumber } from '../../../kernel/claim-number.js';
import {
  CHANGE_KINDS,
  CHANGE_ORDERS,
  type ChangeKind,
  type ChangeOrder,
  type RehearsalChange,
  type RehearsalResult,
} from '../../../policies/rehearsals.contract.js';
import { showMoney } from '../../domain/money-words.js';
import { remediesInWords, sentenceCase } from '../../domain/trade-words.js';
import { useChanges, type Rehearsal } from '../api/rehearsals.js';
import { Pick } from '../parts/pick.js';
import { Empty, Failing, Loading } from '../parts/states.js';
import { showDifference } from './rehearsal-money.js';

const route = getRouteApi('/rehearsals/$id');

const ORDER_WORDS: Readonly<Record<ChangeOrder, string>> = {
  money: 'Most money either way',
  more: 'Most gained',
  less: 'Most lost',
  number: 'Number',
};

interface ChangedProps {
  readonly rehearsal: Rehearsal;
  readonly kinds: RehearsalResult['kinds'];
}

/** The claims that come out otherwise, a page at a time; each leads to both ways side by side. */
export function ChangedClaims({ rehearsal: { id }, kinds }: ChangedProps): ReactNode {
  const search = route.useSearch();
  const navigate = useNavigate();
  const kind = CHANGE_KINDS.find((each) => each === search.kind) ?? '';
  const order = CHANGE_ORDERS.find((each) => each === search.order) ?? 'money';
  const pages = useChanges(id, kind, order);
  const go = (next: { kind?: string; order?: string }) =>
    void navigate({ to: '/rehearsals/$id', params: { id }, search: { ...search, ...next }, replace: true });
  const changes = pages.data?.pages.flatMap(({ items }) => items) ?? [];
  return (
    <section className="sheet stack" id="changes">
      <div className="row spread">
        <h2>Changed claims</h2>
        <p className="row noprint">
          <a href={`/v1/rehearsals/${id}/changes/export?format=csv`} download>
            All as CSV
          </a>
          <a href={`/v1/rehearsals/${id}/changes/export?format=json`} download>
            All as JSON
          </a>
        </p>
      </div>
      <div className="row filters">
        <Pick
          id="kind"
          label="Changed in"
          value={kind}
          onPick={(value) => go({ kind: value })}
          options={[
            ['', 'Anything'],
            ...CHANGE_KINDS.filter((each) => kinds[each] !== undefined).map(
              (each) => [each, `${sentenceCase(each)} (${kinds[each] ?? 0})`] as const,
            ),
          ]}
        />
        <Pick
          id="order"
          label="Order"
          value={order}
          onPick={(value) => go({ order: value })}
          options={CHANGE_ORDERS.map((each) => [each, ORDER_WORDS[each]] as const)}
        />
      </div>
      {pages.isPending ? <Loading what="the changed claims" /> : null}
      {pages.isError ? <Failing trouble={pages.error} again={() => void pages.refetch()} /> : null}
      {pages.data && changes.length === 0 ? <Empty>No claim changes in this. Choose another way.</Empty> : null}
      {changes.length === 0 ? null : <Changes rehearsal={id} changes={changes} />}
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
    </section>
  );
}

function Changes(props: { readonly rehearsal: string; readonly changes: readonly RehearsalChange[] }): ReactNode {
  return (
    <table className="cards">
      <caption className="away">Claims that come out otherwise</caption>
      <thead>
        <tr>
          <th scope="col">Claim</th>
          <th scope="col">Changed in</th>
          <th scope="col">Before</th>
          <th scope="col">After</th>
          <th scope="col" className="amount">
            Difference
          </th>
        </tr>
      </thead>
      <tbody>
        {props.changes.map((change) => (
          <Line key={change.record} rehearsal={props.rehearsal} change={change} />
        ))}
      </tbody>
    </table>
  );
}

function Line(props: { readonly rehearsal: string; readonly change: RehearsalChange }): ReactNode {
  const { record, number, parties, kinds, was, becomes, currency, problem } = props.change;
  return (
    <tr>
      <th scope="row">
        <Link className="number" to="/rehearsals/$id/claims/$record" params={{ id: props.rehearsal, record }}>
          {number === null ? 'Draft' : showClaimNumber(number)}
        </Link>
        <span className="sub">{parties.retailer}</span>
      </th>
      <td data-label="Changed in">{kindWords(kinds)}</td>
      <td data-label="Before">
        {remediesInWords(was.remedies)}
        <span className="sub">{showMoney(was.customerMinor, currency)}</span>
      </td>
      <td data-label="After">
        {becomes === null ? (
          problem
        ) : (
          <>
            {remediesInWords(becomes.remedies)}
            <span className="sub">{showMoney(becomes.customerMinor, currency)}</span>
          </>
        )}
      </td>
      <td data-label="Difference" className="amount">
        {becomes === null ? '–' : showDifference(becomes.customerMinor - was.customerMinor, currency)}
      </td>
    </tr>
  );
}

/** Ways in which a claim changes, as a list in words. */
export function kindWords(kinds: readonly ChangeKind[]): string {
  return sentenceCase(kinds.map((kind) => (kind === 'not fit' ? 'cannot be judged' : kind)).join(', '));
}
