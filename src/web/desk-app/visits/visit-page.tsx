import './visits.css';
import { getRouteApi, Link } from '@tanstack/react-router';
import { useState, type ReactNode } from 'react';
import { showMoney } from '../../domain/money-words.js';
import { showDate, showTime, showWindow } from '../../domain/time-words.js';
import { RECEIPT_WORDS } from '../../domain/trade-words.js';
import { useVisit, useVisitInspections, type Visit } from '../api/visits.js';
import { Facts } from '../parts/parts.js';
import { Failing, Loading } from '../parts/states.js';
import { useTitle } from '../parts/title.js';
import { useOnlooker } from '../shell.js';
import { CrewLinks } from './crew-links.js';
import { ReceiptForm } from './receipt-form.js';
import { StageMark } from './visits-page.js';

const route = getRouteApi('/visits/$id');

/** One visit: what is delivered, its inspections, and the links that let a crew in. */
export function VisitPage(): ReactNode {
  const { id } = route.useParams();
  const found = useVisit(id);
  useTitle(found.data === undefined ? 'Visit' : `Visit ${found.data.order.reference}`);
  if (found.data) return <OneVisit key={id} visit={found.data} />;
  return (
    <>
      <h1>Visit</h1>
      {found.isError ? (
        <Failing trouble={found.error} again={() => void found.refetch()} />
      ) : (
        <Loading what="the visit" />
      )}
    </>
  );
}

function OneVisit({ visit }: { readonly visit: Visit }): ReactNode {
  return (
    <>
      <div className="head">
        <div>
          <p className="quiet">
            <Link to="/visits">Visits</Link>
          </p>
          <h1>{visit.order.reference}</h1>
          <p>
            {showWindow(visit.windowFrom, visit.windowTo, visit.zone)} ({visit.zone.replaceAll('_', ' ')})
          </p>
        </div>
        <div className="row">
          <StageMark stage={visit.stage} />
          <Link to="/" search={{ find: visit.order.reference, view: 'all' }}>
            Claims of this order
          </Link>
        </div>
      </div>
      <div className="case">
        <div className="says">
          <CrewLinks visit={visit} now={new Date().toISOString()} />
        </div>
        <div>
          <Delivery visit={visit} />
          <Units visit={visit} />
        </div>
      </div>
    </>
  );
}

function Delivery({ visit }: { readonly visit: Visit }): ReactNode {
  const { order, address, receipt } = visit;
  const [noting, setNoting] = useState(false);
  return (
    <section className="sheet stack" id="delivery">
      <h2>Delivery</h2>
      <Facts
        of={[
          ['Retailer', visit.retailer.name],
          ['Carrier', visit.carrier.name],
          ['Address', [...address.lines, address.place, address.postcode, address.country].join(', ')],
          ['Law of', visit.jurisdiction],
          ['Crew', `${visit.crewSize} people`],
          ['Order placed', showDate(order.placedOn)],
          ['Price', showMoney(order.priceMinor, order.currency)],
          ['Tax', showMoney(order.taxMinor, order.currency)],
          ['Delivery fee', showMoney(order.deliveryMinor, order.currency)],
          ['Receipt', receipt === undefined ? 'None yet' : RECEIPT_WORDS[receipt.kind]],
          ['Words on it', receipt?.words],
          ['Handed over', receipt === undefined ? null : showTime(receipt.deliveredAt, visit.zone)],
        ]}
      />
      <details open={noting} onToggle={(event) => setNoting(event.currentTarget.open)}>
        <summary>{receipt === undefined ? 'Note what the receipt says' : 'Correct the receipt'}</summary>
        <ReceiptForm visit={visit} onTaken={() => setNoting(false)} />
      </details>
    </section>
  );
}

function Units({ visit }: { readonly visit: Visit }): ReactNode {
  const found = useVisitInspections(visit.id);
  const { data: onlooker } = useOnlooker();
  const fills = onlooker?.acts.includes('inspection.fill') === true;
  return (
    <section className="sheet stack" id="units">
      <h2>Units</h2>
      {found.isError && found.data === undefined ? (
        <Failing trouble={found.error} again={() => void found.refetch()} />
      ) : null}
      <ul className="plain stack">
        {visit.units.map((unit) => {
          const own = found.data?.items.filter(({ unitId }) => unitId === unit.id);
          return (
            <li key={unit.id}>
              <strong>{unit.title}</strong> <span className="nums">{unit.serial}</span>
              {own?.length === 0 ? <span className="sub">Not inspected yet</span> : null}
              {own?.map(({ id, startedAt, finishedAt }) => (
                <span key={id} className="sub">
                  Inspection begun {showTime(startedAt, visit.zone)}
                  {finishedAt === undefined ? ', still open' : `, finished ${showTime(finishedAt, visit.zone)}`}
                </span>
              ))}
            </li>
          );
        })}
      </ul>
      {fills ? (
        <p>
          <a href={`/crew/visits/${visit.id}`}>Fill in an inspection here</a>{' '}
          <span className="quiet">on the crew’s own screens</span>
        </p>
      ) : null}
    </section>
  );
}
