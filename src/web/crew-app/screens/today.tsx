import { useEffect, useState } from 'preact/hooks';
import type { StateMark } from '../../domain/state-marks.js';
import { renew } from '../actions.js';
import { go, useApp, type AppState } from '../app-state.js';
import { sendOwed } from '../engine.js';
import { Frame, Heading, Mark, Note, Way } from '../parts/frame.js';
import { Owed } from '../parts/owed.js';
import { sayer } from '../words/sayer.js';
import { ask } from '../send/ask.js';
import { isHard } from '../send/drain.js';
import { inspectionsOf } from '../walk/inspection.js';
import { window as windowOf } from '../walk/times.js';

interface Listed {
  readonly id: string;
  readonly windowFrom: string;
  readonly windowTo: string;
  readonly zone: string;
  readonly order: { readonly reference: string };
  readonly address: { readonly place: string; readonly lines: readonly string[] };
}

/** The visits that this phone holds, and those that somebody who signed in may fetch. */
export function Today() {
  const app = useApp();
  const { lang, visits, owed } = app;
  const w = sayer(lang);
  const [others, setOthers] = useState<readonly Listed[]>([]);
  useEffect(() => {
    // Only people with a session get a list; a crew that came by links has none, and nothing is said about it.
    ask(undefined, '/v1/visits?limit=30', { method: 'GET' }).then(
      (page) => setOthers((page as { items: readonly Listed[] }).items),
      () => undefined,
    );
  }, []);
  const more = others.filter(({ id }) => !visits.some((visit) => visit.id === id));
  return (
    <Frame title={w('today')}>
      <div class="stack">
        <Heading about="today">{w('today')}</Heading>
        <Owed />
        {visits.length === 0 && more.length === 0 ? (
          <Note tone="info">
            <p>{w('noVisitsHere')}</p>
          </Note>
        ) : null}
        <ul class="plain cards">
          {visits
            .toSorted((a, b) => a.pack.visit.windowFrom.localeCompare(b.pack.visit.windowFrom))
            .map(({ id, pack: { visit } }) => (
              <li key={id}>
                <Way to={`/crew/visits/${id}`} class="card">
                  <strong>{visit.address.at(-1)}</strong>
                  <span class="said">
                    {windowOf(visit, lang)} · {visit.order}
                  </span>
                  <Mark {...markOf(app, id)} />
                </Way>
              </li>
            ))}
        </ul>
        {more.length === 0 ? null : (
          <section class="stack">
            <h2>{w('yourVisits')}</h2>
            <ul class="plain cards">
              {more.map((visit) => (
                <li key={visit.id}>
                  <button class="card" onClick={() => void renew(visit.id).then(() => go(`/crew/visits/${visit.id}`))}>
                    <strong>{visit.address.place}</strong>
                    <span class="said">
                      {windowOf(visit, lang)} · {visit.order.reference}
                    </span>
                  </button>
                </li>
              ))}
            </ul>
          </section>
        )}
        {owed.length === 0 ? null : <button onClick={() => void sendOwed()}>{w('sendNow')}</button>}
        <nav class="ways" aria-label={w('help')}>
          <Way to="/visit">{w('linkTitle')}</Way>
          <Way to="/crew/help">{w('help')}</Way>
        </nav>
      </div>
    </Frame>
  );
}

function markOf(app: AppState, visit: string): StateMark {
  const w = sayer(app.lang);
  const owed = app.owed.filter((row) => row.visit === visit);
  const begun = inspectionsOf(app, visit);
  if (owed.some(isHard)) return { shape: 'triangle', tone: 'warn', says: w('needsYou') };
  if (owed.length > 0) return { shape: 'ring', tone: 'plainly', says: w('onPhone', owed.length) };
  if (begun.some(({ finished }) => !finished)) return { shape: 'half', tone: 'info', says: w('open') };
  if (begun.length > 0) return { shape: 'tick', tone: 'ok', says: w('allSent') };
  return { shape: 'diamond', tone: 'info', says: w('notStarted') };
}
