import type { VNode } from 'preact';
import type { VisitFacts } from '../../inspections/inspections.contract.js';
import { RECEIPT_WORDS } from '../domain/trade-words.js';
import { showMoney } from '../domain/money-words.js';
import { showTime, showWindow } from '../domain/time-words.js';
import { text, type Form, type Trouble } from '../form-fields.js';
import { Office, type Onlooker } from './layout.js';
import { Choose, Facts, Mark, Note, TextLine, Time, TroubleNote } from './parts.js';

/** The visits, the newest window first. */
export function DeskVisits(props: {
  readonly onlooker: Onlooker;
  readonly visits: readonly VisitFacts[];
  readonly next?: string | undefined;
  readonly laterPage: boolean;
}): VNode {
  const { visits } = props;
  return (
    <Office title="Visits" onlooker={props.onlooker} at="/desk/visits">
      <div class="head">
        <h1>Visits</h1>
        <a class="button go" href="/desk/visits/new">
          Plan a visit
        </a>
      </div>
      {visits.length === 0 ? (
        <p class="lead">No visit is planned. Plan one, then send the crew its link.</p>
      ) : (
        <table class="queue cards">
          <caption class="away">Visits</caption>
          <thead>
            <tr>
              <th scope="col">Order</th>
              <th scope="col">When</th>
              <th scope="col">Where</th>
              <th scope="col">Units</th>
              <th scope="col">Receipt</th>
            </tr>
          </thead>
          <tbody>
            {visits.map((visit) => (
              <tr>
                <th scope="row">
                  <a href={`/desk/visits/${visit.id}`}>{visit.order.reference}</a>
                  <span class="sub">{visit.retailer.name}</span>
                </th>
                <td data-label="When">{showWindow(visit.windowFrom, visit.windowTo, visit.zone)}</td>
                <td data-label="Where">{[...visit.address.lines, visit.address.place].join(', ')}</td>
                <td data-label="Units">
                  {visit.units.map((unit) => (
                    <span class="sub">
                      {unit.title} · <span class="nums">{unit.serial}</span>
                    </span>
                  ))}
                </td>
                <td data-label="Receipt">
                  {visit.receipt === null ? (
                    <Mark shape="ring" tone="plainly" says="None yet" />
                  ) : (
                    RECEIPT_WORDS[visit.receipt]
                  )}
                </td>
              </tr>
            ))}
          </tbody>
        </table>
      )}
      <nav class="pages" aria-label="Pages">
        {props.laterPage ? <a href="/desk/visits">First page</a> : null}
        {props.next === undefined ? null : (
          <a href={`/desk/visits?cursor=${encodeURIComponent(props.next)}`}>Next page</a>
        )}
      </nav>
    </Office>
  );
}

/** A link for the crew, as the list shows it. */
export interface CrewLink {
  readonly id: string;
  readonly crewName: string;
  readonly createdAt: string;
  readonly expiresAt: string;
  readonly endedAt?: string;
}

export interface DeskVisitView {
  readonly onlooker: Onlooker;
  readonly visit: VisitFacts;
  readonly links: readonly CrewLink[];
  readonly inspections: readonly {
    readonly id: string;
    readonly unitId: string;
    readonly startedAt: string;
    readonly finishedAt: string | null;
  }[];
  readonly now: string;
  /** A link that was just made: its address is shown this once. */
  readonly made?: { readonly url: string; readonly crewName: string; readonly expiresAt: string };
  readonly mayLink: boolean;
  readonly mayFill: boolean;
  readonly trouble?: Trouble | undefined;
  readonly typed?: Form | undefined;
}

/** One visit: what is delivered, its inspections, and the links that let a crew in. */
export function DeskVisit(view: DeskVisitView): VNode {
  const { visit, made } = view;
  return (
    <Office title={`Visit ${visit.order.reference}`} onlooker={view.onlooker} at="/desk/visits">
      <div class="head">
        <div>
          <p class="quiet">
            <a href="/desk/visits">Visits</a>
          </p>
          <h1>{visit.order.reference}</h1>
          <p>{showWindow(visit.windowFrom, visit.windowTo, visit.zone)}</p>
        </div>
      </div>
      <TroubleNote trouble={view.trouble} />
      {made === undefined ? null : (
        <Note tone="ok" title={`Send this link to ${made.crewName}. It is shown only now.`}>
          <p class="secret" id="made">
            {made.url}
          </p>
          <p>
            It opens this visit and nothing else, until <Time at={made.expiresAt} zone={visit.zone} />. Lost it? Make
            another and end this one.
          </p>
        </Note>
      )}
      <div class="case">
        <div class="says">
          <Links view={view} />
        </div>
        <div>
          <section class="sheet">
            <h2>Delivery</h2>
            <Facts
              of={[
                ['Retailer', visit.retailer.name],
                ['Carrier', visit.carrier.name],
                [
                  'Address',
                  [...visit.address.lines, visit.address.place, visit.address.postcode, visit.address.country].join(
                    ', ',
                  ),
                ],
                ['Law of', visit.jurisdiction],
                ['Crew', `${visit.crewSize} people`],
                ['Order placed', visit.order.placedOn],
                ['Price', showMoney(visit.order.priceMinor, visit.order.currency)],
                ['Tax', showMoney(visit.order.taxMinor, visit.order.currency)],
                ['Delivery fee', showMoney(visit.order.deliveryMinor, visit.order.currency)],
                ['Receipt', visit.receipt === null ? 'None yet' : RECEIPT_WORDS[visit.receipt]],
                ['Words on it', visit.receiptWords],
                ['Handed over', visit.deliveredAt === null ? null : showTime(visit.deliveredAt, visit.zone)],
              ]}
            />
          </section>
          <section class="sheet">
            <h2>Units</h2>
            <ul class="plain stack">
              {visit.units.map((unit) => {
                const own = view.inspections.filter(({ unitId }) => unitId === unit.id);
                return (
                  <li>
                    <strong>{unit.title}</strong> <span class="nums">{unit.serial}</span>
                    {own.length === 0 ? <span class="sub">Not inspected yet</span> : null}
                    {own.map(({ startedAt, finishedAt }) => (
                      <span class="sub">
                        {view.mayFill ? <a href={`/crew/visits/${visit.id}`}>Inspection</a> : 'Inspection'} begun{' '}
                        {showTime(startedAt, visit.zone)}
                        {finishedAt === null ? ', still open' : `, finished ${showTime(finishedAt, visit.zone)}`}
                      </span>
                    ))}
                  </li>
                );
              })}
            </ul>
          </section>
        </div>
      </div>
    </Office>
  );
}

function Links({ view }: { readonly view: DeskVisitView }): VNode {
  const { visit, links } = view;
  return (
    <section class="sheet stack" id="links">
      <h2>Links for the crew</h2>
      {links.length === 0 ? <p class="quiet">No crew can open this visit yet.</p> : null}
      <ul class="plain stack">
        {links.map((link) => {
          const over = link.endedAt !== undefined || link.expiresAt <= view.now;
          return (
            <li>
              <strong>{link.crewName}</strong>
              <span class="sub">
                {link.endedAt !== undefined
                  ? `Ended ${showTime(link.endedAt, visit.zone)}`
                  : over
                    ? `Expired ${showTime(link.expiresAt, visit.zone)}`
                    : `Works until ${showTime(link.expiresAt, visit.zone)}`}
              </span>
              {over || !view.mayLink ? null : (
                <form method="post" action={`/desk/visits/${visit.id}/links/${link.id}/end`}>
                  <button class="linklike">End the link of {link.crewName}</button>
                </form>
              )}
            </li>
          );
        })}
      </ul>
      {view.mayLink ? (
        <form method="post" action={`/desk/visits/${visit.id}/links`} class="stack">
          <TextLine
            id="crewName"
            name="crewName"
            label="Who is the crew?"
            hint="Names as they should stand in the file"
            value={text(view.typed, 'crewName')}
            required
            max={200}
            trouble={view.trouble}
          />
          <Choose
            id="hours"
            name="hours"
            label="Works for"
            short
            value={text(view.typed, 'hours') || '72'}
            options={[
              ['24', '1 day'],
              ['72', '3 days'],
              ['168', '1 week'],
            ]}
          />
          <button class="go">Make a link</button>
        </form>
      ) : null}
    </section>
  );
}
