import { useEffect, useState } from 'preact/hooks';
import { remove } from '../actions.js';
import { useApp } from '../app-state.js';
import { Frame, Heading, Note, Way } from '../parts/frame.js';
import { sayer } from '../words/sayer.js';
import { storage } from '../photo/room.js';
import { inspectionsOf } from '../walk/inspection.js';

const MB = 1_000_000;

/** Whom to call, how full the phone is, and how a finished visit leaves it. */
export function Help() {
  const app = useApp();
  const { lang, visits, owed } = app;
  const w = sayer(lang);
  const [room, setRoom] = useState<Awaited<ReturnType<typeof storage>> | undefined>();
  useEffect(() => {
    void storage().then(setRoom);
  }, [owed.length]);
  const done = visits.filter(
    ({ id }) =>
      !owed.some((row) => row.visit === id) &&
      inspectionsOf(app, id).length > 0 &&
      inspectionsOf(app, id).every(({ finished }) => finished),
  );
  return (
    <Frame title={w('help')}>
      <div class="stack">
        <Heading about="help">{w('help')}</Heading>
        <Note tone="warn">
          <p>{w('callOffice')}</p>
        </Note>
        <p>{w('keepOpen')}</p>
        <p>{w('typeSize')}</p>
        <section class="sheet stack">
          <h2>{w('storage')}</h2>
          {room === undefined ? null : <p>{w('storageHeld', Math.ceil(room.held / MB))}</p>}
          {room?.free === undefined ? null : <p>{w('storageFree', Math.floor(room.free / MB))}</p>}
          <p class="quiet">{w('iconHome')}</p>
        </section>
        {done.map(({ id, pack }) => (
          <section class="sheet stack" key={id}>
            <h2>{pack.visit.order}</h2>
            <p>{w('removeHow')}</p>
            <button onClick={() => void remove(id)}>{w('removeVisit')}</button>
          </section>
        ))}
        <nav class="ways" aria-label={w('today')}>
          <Way to="/crew">{w('today')}</Way>
        </nav>
      </div>
    </Frame>
  );
}
