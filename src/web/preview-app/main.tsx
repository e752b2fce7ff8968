import { render } from 'preact';
import { useEffect } from 'preact/hooks';
import { App, fetchLater } from '../crew-app/app.js';
import { current, refresh, show, useApp } from '../crew-app/app-state.js';
import { remember } from '../crew-app/keep/database.js';
import { holdVisit } from '../crew-app/keep/phone.js';
import { learn } from '../crew-app/words/sayer.js';
import type { PreviewPlace, PreviewShow, PreviewTold } from '../shared/preview-message.js';
import { forgetAll } from './in-place/memory.js';
import { go } from './in-place/own-place.js';
import { beginning, checkAt, packOf } from './pack.js';
import '../crew-app/crew.css';
import './preview.css';

// The crew's own screens with a checklist that the desk hands over: the store, the line and the address bar are replaced when this is
// built (.config/vite.preview.mjs), so that nothing is kept and nothing is sent.

const framed = parent !== globalThis.window;

function tell(what: PreviewTold): void {
  if (framed) parent.postMessage(what, location.origin);
}

let place: PreviewPlace = { at: 'beginning' };

async function take(told: PreviewShow): Promise<void> {
  if (told.to !== undefined) {
    forgetAll();
    place = told.to;
  }
  await learn(told.lang);
  await remember('lang', told.lang);
  await holdVisit(packOf(told, place, Date.now()), undefined);
  await refresh();
  if (told.to !== undefined) go(place.at === 'beginning' ? beginning(told.unit.id) : checkAt(itemOf(place)));
  await fetchLater();
}

function itemOf(where: PreviewPlace): string | undefined {
  return where.at === 'check' ? where.item : undefined;
}

const SAYS = {
  en: 'Preview: nothing is kept and nothing is sent.',
  es: 'Vista previa: nada se guarda ni se envía.',
} as const;

function Preview() {
  const { lang, visits, place: here } = useApp();
  const item = here.query.get('check');
  useEffect(() => tell({ kind: 'shown', item, lang }), [item, lang]);
  return (
    <>
      <aside class="preview-mark" aria-label="Preview">
        {SAYS[lang]}
      </aside>
      {visits.length > 0 ? (
        <App link={undefined} keeps />
      ) : (
        <main>
          <h1>Preview of a checklist</h1>
          <p>
            {framed
              ? 'The checklist is on its way.'
              : 'Open a checklist at the desk; it is shown there as a crew sees it.'}
          </p>
        </main>
      )}
    </>
  );
}

addEventListener('message', (event: MessageEvent<PreviewShow>) => {
  if (event.origin !== location.origin || event.source !== parent || event.data?.kind !== 'show') return;
  take(event.data).catch(() => show({ visits: [] }));
});

const root = document.getElementById('app');
if (root !== null) {
  show({ ...current(), place: { path: '/crew', query: new URLSearchParams() } });
  render(<Preview />, root);
  tell({ kind: 'ready' });
}
