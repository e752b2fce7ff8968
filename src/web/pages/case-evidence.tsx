import type { VNode } from 'preact';
import type { Assessment } from '../../adjudication/adjudication.contract.js';
import type { ExhibitView } from '../../evidence/evidence.service.js';
import { answerOf, answerWords } from '../domain/walk-view.js';
import { RECEIPT_WORDS, PARTY_WORDS, sentenceCase } from '../domain/trade-words.js';
import { showTime, showWindow } from '../domain/time-words.js';
import type { CaseView } from './case-view.js';
import { Facts, Mark, Note, Time } from './parts.js';
import { Pair } from './photo-pair.js';

/** The photos, two in a row, each with when it was taken, how good it is and what is doubtful about it. */
export function Photos({ view }: { readonly view: CaseView }): VNode {
  const { photos } = view;
  return (
    <section class="sheet" id="photos">
      <h2>Photos</h2>
      {photos.length === 0 ? <p class="quiet">No photo has arrived. Ask the crew for one, or decide without.</p> : null}
      <div class="photos">
        {photos.map((photo) => (
          <Photo photo={photo} view={view} />
        ))}
      </div>
    </section>
  );
}

function Photo({
  photo: { row, renditions, pairs },
  view,
}: {
  readonly photo: ExhibitView;
  readonly view: CaseView;
}): VNode {
  const item = view.inspection?.walk.checklist.sections.flatMap(({ items }) => items).find(({ id }) => id === row.item);
  const shows = item?.photos?.find(({ id }) => id === row.shows)?.says.en ?? 'One more photo';
  const about = item?.ask.en ?? row.item;
  const large = renditions.find(({ size }) => size === 1024) ?? renditions.at(-1);
  const advice = row.reading?.quality?.advice ?? [];
  const doubts = row.reading?.doubts ?? [];
  return (
    <figure>
      <div class="frame">
        {large === undefined ? (
          <p class="quiet">{row.failure ?? 'The picture is still being made. Reload the page in a moment.'}</p>
        ) : (
          <a href={`/v1/photos/${row.id}/renditions/2048`}>
            <img
              src={`/v1/photos/${row.id}/renditions/${large.size}`}
              alt={`${about} ${shows}`}
              width={large.width}
              height={large.height}
              loading="lazy"
            />
          </a>
        )}
      </div>
      <figcaption class="tight">
        <p>
          <strong>{about}</strong> <span class="quiet">{shows}</span>
        </p>
        <p class="quiet">
          {takenWords(row.reading, view.visit.zone)} · received <Time at={row.receivedAt} zone={view.visit.zone} /> from{' '}
          {row.receivedBy.name}
        </p>
        {row.withdrawnAt === null ? null : <Mark shape="cross" tone="plainly" says="Withdrawn" />}
        {advice.length === 0 && row.reading?.quality !== undefined ? (
          <Mark shape="tick" tone="ok" says="Good enough to judge" />
        ) : null}
        {advice.map(({ says, measured, threshold }) => (
          <Note tone="warn">
            <p>
              {says.en} <Measured measured={measured} threshold={threshold} />
            </p>
          </Note>
        ))}
        {row.reading?.labelCheck === undefined ? null : (
          <Note tone={row.reading.labelCheck.outcome === 'match' ? 'ok' : 'warn'}>
            <p>{row.reading.labelCheck.says.en}</p>
          </Note>
        )}
        {(pairs ?? []).map((pair) => (
          <Pair pair={pair} own={row.id} />
        ))}
        {doubts.map(({ says, measured, threshold }) => (
          <Note tone="bad">
            <p>
              Doubt: {says} <Measured measured={measured} threshold={threshold} />
            </p>
          </Note>
        ))}
      </figcaption>
    </figure>
  );
}

function Measured(props: {
  readonly measured?: number | undefined;
  readonly threshold?: number | undefined;
}): VNode | null {
  const { measured, threshold } = props;
  if (measured === undefined || threshold === undefined) return null;
  return (
    <span class="quiet">
      Measured {plain(measured)}, limit {plain(threshold)}.
    </span>
  );
}

function plain(value: number): string {
  return String(Math.round(value * 100) / 100);
}

function takenWords(reading: ExhibitView['row']['reading'], zone: string): string {
  if (reading === null) return 'Not read yet';
  const { capture } = reading;
  if (capture === null) return 'The camera recorded no time';
  if (capture.capturedAt !== undefined) return `Taken ${showTime(capture.capturedAt, zone)}`;
  return `Taken ${(capture.capturedAtLocal ?? '').slice(0, 16).replace('T', ' ')} by the camera’s own clock, zone not recorded`;
}

/** What the crew answered, with what could not be checked. */
export function Answers({ view }: { readonly view: CaseView }): VNode {
  const inspection = view.inspection;
  if (inspection === undefined) {
    return (
      <section class="sheet">
        <h2>Inspection</h2>
        <p class="quiet">This claim rests on no inspection.</p>
      </section>
    );
  }
  const { walk } = inspection;
  return (
    <section class="sheet" id="answers">
      <h2>What the crew answered</h2>
      <p class="quiet">
        By {inspection.startedBy}, {inspection.crewSize} people, from{' '}
        <Time at={inspection.startedAt} zone={view.visit.zone} />
        {inspection.finishedAt === null
          ? '; still open'
          : `; finished ${showTime(inspection.finishedAt, view.visit.zone)}`}
        . Checklist {walk.checklist.id}, version {walk.checklist.version}.
      </p>
      {inspection.gapsReason === null ? null : (
        <Note tone="plainly" title="Closed with gaps:">
          <p>{inspection.gapsReason}</p>
        </Note>
      )}
      {walk.stops.map(({ stop, raisedAt, acknowledgedAt }) => (
        <Note tone="bad" title={`Safety stop: ${walk.checklist.stops.find(({ id }) => id === stop)?.says.en ?? stop}`}>
          <p>
            Raised <Time at={raisedAt} zone={view.visit.zone} />;{' '}
            {acknowledgedAt === null
              ? 'nobody has acknowledged it yet.'
              : `acknowledged ${showTime(acknowledgedAt, view.visit.zone)}.`}
          </p>
        </Note>
      ))}
      <table class="cards">
        <caption class="away">Answers of the inspection</caption>
        <thead>
          <tr>
            <th scope="col">Check</th>
            <th scope="col">Answer</th>
          </tr>
        </thead>
        <tbody>
          {walk.asked.map((item) => {
            const answer = answerOf(walk, item.id);
            return (
              <tr>
                <td>{item.ask.en}</td>
                <td data-label="Answer">
                  {answer === undefined ? (
                    <span class="quiet">No answer</span>
                  ) : (
                    <strong>{answerWords(item, answer.value, 'en')}</strong>
                  )}
                  {answer === undefined || inspection.answeredAt[item.id] === undefined ? null : (
                    <span class="sub">
                      <Time at={inspection.answeredAt[item.id] ?? ''} zone={view.visit.zone} />
                    </span>
                  )}
                  {answer?.note === undefined ? null : <span class="sub">“{answer.note}”</span>}
                </td>
              </tr>
            );
          })}
        </tbody>
      </table>
    </section>
  );
}

/** The order, the unit, the delivery and through whose hands it went. */
export function Delivery({ view: { visit, line, claim, assessment } }: { readonly view: CaseView }): VNode {
  const { order } = visit;
  // Claims that were assessed by an earlier release have no such list.
  const gaps = (assessment as Partial<Assessment> | undefined)?.custody?.gaps ?? [];
  return (
    <section class="sheet" id="delivery">
      <h2>Unit and delivery</h2>
      <Facts
        of={[
          ['Unit', `${line.model} · ${line.serial}`],
          ['Order', `${order.reference}, placed ${order.placedOn}`],
          ['Retailer', visit.retailer.name],
          ['Carrier', visit.carrier.name],
          [
            'Address',
            [...visit.address.lines, visit.address.place, visit.address.postcode, visit.address.country].join(', '),
          ],
          [
            'Position',
            visit.address.latitude === undefined ? null : `${visit.address.latitude}, ${visit.address.longitude ?? ''}`,
          ],
          ['Window', `${showWindow(visit.windowFrom, visit.windowTo, visit.zone)} (${visit.zone})`],
          ['Receipt', visit.receipt === null ? 'None on record' : RECEIPT_WORDS[visit.receipt]],
          ['Words on it', visit.receiptWords],
          ['Handed over', visit.deliveredAt === null ? null : showTime(visit.deliveredAt, visit.zone)],
          ['First noticed', showTime(claim.noticedAt, visit.zone)],
          ['Customer’s wish', claim.wish === null ? null : sentenceCase(claim.wish)],
          ['Claim in words', claim.words],
          [
            'Safety stops',
            assessment === undefined || assessment.safetyStops.length === 0 ? null : assessment.safetyStops.join(', '),
          ],
        ]}
      />
      {visit.custody.length === 0 ? null : (
        <table class="cards">
          <caption>Custody: in whose hands, and in which condition it was taken over</caption>
          <thead>
            <tr>
              <th scope="col">Stage</th>
              <th scope="col">With</th>
              <th scope="col">Condition</th>
              <th scope="col">When</th>
            </tr>
          </thead>
          <tbody>
            {visit.custody.map(({ stage, party, condition, at }) => (
              <tr>
                <td>{sentenceCase(stage)}</td>
                <td data-label="With">{PARTY_WORDS[party]}</td>
                <td data-label="Condition">
                  {condition === 'exceptions' ? 'Exceptions noted' : sentenceCase(condition)}
                </td>
                <td data-label="When">{at === undefined ? '–' : showTime(at, visit.zone)}</td>
              </tr>
            ))}
          </tbody>
        </table>
      )}
      {gaps.length === 0 ? null : (
        <Note tone="warn" title="Gaps in the custody">
          <ul>
            {gaps.map((gap) => (
              <li>{gap}</li>
            ))}
          </ul>
        </Note>
      )}
    </section>
  );
}
