import { getRouteApi, Link, useNavigate } from '@tanstack/react-router';
import { useRef, type ReactNode } from 'react';
import { VISIT_STAGES, type VisitStage } from '../../../inspections/inspections.contract.js';
import type { StateMark } from '../../domain/state-marks.js';
import { showWindow } from '../../domain/time-words.js';
import { RECEIPT_WORDS } from '../../domain/trade-words.js';
import { useVisits, type Visit } from '../api/visits.js';
import { Mark } from '../parts/mark.js';
import { Pick } from '../parts/pick.js';
import { Empty, Failing, Loading } from '../parts/states.js';
import { useTitle } from '../parts/title.js';

const route = getRouteApi('/visits');

const STAGES: Readonly<Record<VisitStage, StateMark>> = {
  planned: { says: 'Planned', shape: 'ring', tone: 'plainly' },
  'under way': { says: 'Inspection open', shape: 'half', tone: 'info' },
  inspected: { says: 'Inspected', shape: 'tick', tone: 'ok' },
};

/** How far a visit has come. */
export function StageMark({ stage }: { readonly stage: VisitStage | undefined }): ReactNode {
  return stage === undefined ? null : <Mark {...STAGES[stage]} />;
}

/** The visits, the newest window first. */
export function VisitsPage(): ReactNode {
  const { find = '', stage: asked = '' } = route.useSearch();
  const stage = VISIT_STAGES.find((each) => each === asked) ?? '';
  const navigate = useNavigate();
  const pages = useVisits(find, stage);
  const box = useRef<HTMLInputElement>(null);
  useTitle('Visits');
  const visits = pages.data?.pages.flatMap(({ items }) => items) ?? [];
  const go = (search: { find?: string; stage?: string }) =>
    void navigate({ to: '/visits', search: { find, stage, ...search }, replace: true });
  return (
    <>
      <div className="head">
        <h1>Visits</h1>
        <Link to="/visits/new" className="button go">
          Plan a visit
        </Link>
      </div>
      <div className="row filters">
        <form
          className="find"
          role="search"
          onSubmit={(event) => {
            event.preventDefault();
            go({ find: box.current?.value.trim() ?? '' });
          }}
        >
          <div className="field">
            <label htmlFor="find">Order, serial, street or town</label>
            <input id="find" ref={box} type="search" maxLength={80} defaultValue={find} key={find} />
          </div>
          <button>Find</button>
        </form>
        <Pick
          id="stage"
          label="State"
          value={stage}
          onPick={(value) => go({ stage: value })}
          options={[['', 'All'], ...VISIT_STAGES.map((each) => [each, STAGES[each].says] as const)]}
        />
      </div>
      {pages.isPending ? <Loading what="the visits" /> : null}
      {pages.isError ? <Failing trouble={pages.error} again={() => void pages.refetch()} /> : null}
      {pages.data && visits.length === 0 ? (
        <Empty>
          {find === '' && stage === ''
            ? 'No visit is planned. Plan one, then send the crew its link.'
            : 'No visit is like that. Choose “All”, or look for another part of the order number.'}
        </Empty>
      ) : null}
      {visits.length > 0 ? <VisitTable visits={visits} /> : null}
      {pages.hasNextPage ? (
        <button
          type="button"
          className="do"
          disabled={pages.isFetchingNextPage}
          onClick={() => void pages.fetchNextPage()}
        >
          {pages.isFetchingNextPage ? 'Fetching…' : 'Show more visits'}
        </button>
      ) : null}
    </>
  );
}

function VisitTable({ visits }: { readonly visits: readonly Visit[] }): ReactNode {
  return (
    <table className="queue cards">
      <caption className="away">Visits, the newest first</caption>
      <thead>
        <tr>
          {['Order', 'When', 'Where', 'Units', 'State', 'Receipt'].map((name) => (
            <th key={name} scope="col">
              {name}
            </th>
          ))}
        </tr>
      </thead>
      <tbody>
        {visits.map((visit) => (
          <tr key={visit.id}>
            <th scope="row">
              <Link className="number" to="/visits/$id" params={{ id: visit.id }}>
                {visit.order.reference}
              </Link>
              <span className="sub">{visit.retailer.name}</span>
            </th>
            <td data-label="When">
              {showWindow(visit.windowFrom, visit.windowTo, visit.zone)}
              <span className="sub">{visit.zone.replaceAll('_', ' ')}</span>
            </td>
            <td data-label="Where">{[...visit.address.lines, visit.address.place].join(', ')}</td>
            <td data-label="Units">
              {visit.units.map((unit) => (
                <span key={unit.id} className="sub">
                  {unit.title} · <span className="nums">{unit.serial}</span>
                </span>
              ))}
            </td>
            <td data-label="State">
              <StageMark stage={visit.stage} />
            </td>
            <td data-label="Receipt">
              {visit.receipt === undefined ? (
                <span className="quiet">None yet</span>
              ) : (
                RECEIPT_WORDS[visit.receipt.kind]
              )}
            </td>
          </tr>
        ))}
      </tbody>
    </table>
  );
}
