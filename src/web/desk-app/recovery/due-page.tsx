import { getRouteApi, Link, useNavigate } from '@tanstack/react-router';
import type { ReactNode } from 'react';
import { showClaimNumber } from '../../../kernel/claim-number.js';
import { count, showDate } from '../../domain/time-words.js';
import { sentenceCase } from '../../domain/trade-words.js';
import { useDue, type DueLine } from '../api/recoveries.js';
import { Caution, Mark } from '../parts/parts.js';
import { Pick } from '../parts/pick.js';
import { Empty, Failing, Loading } from '../parts/states.js';
import { useTitle } from '../parts/title.js';

const route = getRouteApi('/due');
const OWED_BY = ['maker', 'seller', 'carrier', 'crew', 'customer', 'service'] as const;
const SPANS: readonly (readonly [string, string])[] = [
  ['7', 'a week'],
  ['30', '30 days'],
  ['90', '90 days'],
  ['366', 'a year'],
];

/** What runs out soon and what was missed, over all claims. */
export function DuePage(): ReactNode {
  const { within = '7', owedBy = '' } = route.useSearch();
  const days = SPANS.find(([each]) => each === within)?.[0] ?? '7';
  const navigate = useNavigate();
  const found = useDue(Number(days), owedBy);
  useTitle('What is due');
  const go = (search: { within?: string; owedBy?: string }) =>
    void navigate({ to: '/due', search: { within: days, owedBy, ...search }, replace: true });
  const lines = found.data?.items ?? [];
  return (
    <>
      <div className="head">
        <h1>What is due</h1>
      </div>
      <div className="row filters noprint">
        <Pick id="within" label="Within" value={days} onPick={(value) => go({ within: value })} options={SPANS} />
        <Pick
          id="owed-by"
          label="Owed by"
          value={owedBy}
          onPick={(value) => go({ owedBy: value })}
          options={[['', 'Everybody'], ...OWED_BY.map((each) => [each, sentenceCase(each)] as const)]}
        />
      </div>
      {found.isPending ? <Loading what="what is due" /> : null}
      {found.isError ? <Failing trouble={found.error} again={() => void found.refetch()} /> : null}
      {found.data && lines.length === 0 ? <Empty>Nothing runs out in that time, and nothing was missed.</Empty> : null}
      {lines.length > 0 ? <Lines lines={lines} /> : null}
      {found.data?.next === undefined ? null : (
        <p className="quiet">These are the 200 that run out first. Choose a shorter time or a party to see fewer.</p>
      )}
    </>
  );
}

function Lines({ lines }: { readonly lines: readonly DueLine[] }): ReactNode {
  return (
    <>
      <table className="cards">
        <caption className="away">Clocks that run out, soonest first</caption>
        <thead>
          <tr>
            <th scope="col">Last day</th>
            <th scope="col">What</th>
            <th scope="col">Claim</th>
            <th scope="col">Owed by</th>
            <th scope="col">When it lapses</th>
          </tr>
        </thead>
        <tbody>
          {lines.map((line) => (
            <tr key={`${line.claimId} ${line.clock} ${line.occurrence}`}>
              <td data-label="Last day">
                {line.lastDay === undefined ? '–' : showDate(line.lastDay)}
                <span className="sub">
                  <Left line={line} />
                </span>
              </td>
              <th scope="row">
                {line.title}
                <span className="sub">
                  {line.ground}. {line.source}
                </span>
              </th>
              <td data-label="Claim">
                <Link className="number" to="/claims/$id" params={{ id: line.claimId }} preload={false}>
                  {line.number === undefined ? 'Draft' : showClaimNumber(line.number)}
                </Link>
              </td>
              <td data-label="Owed by">{sentenceCase(line.owedBy)}</td>
              <td data-label="When it lapses">{line.effect}</td>
            </tr>
          ))}
        </tbody>
      </table>
      <Caution />
    </>
  );
}

function Left({ line: { state, daysLeft } }: { readonly line: DueLine }): ReactNode {
  if (state === 'missed' || daysLeft < 0) return <Mark shape="triangle" tone="bad" says="Missed" />;
  const says = daysLeft === 0 ? 'Today' : `In ${count(daysLeft, 'day')}`;
  return daysLeft <= 2 ? <Mark shape="half" tone="warn" says={says} /> : <span className="quiet">{says}</span>;
}
