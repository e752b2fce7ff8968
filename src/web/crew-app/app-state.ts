import { useEffect, useState } from 'preact/hooks';
import type { Lang } from '../domain/walk-view.js';
import { setting, withStore, type OwedRow } from './keep/database.js';
import { onTold } from './keep/phone.js';
import { learn } from './words/sayer.js';
import type { Shelf } from './walk/inspection.js';

/** Where the crew is: the path and query of the page. */
export interface Place {
  readonly path: string;
  readonly query: URLSearchParams;
}

/** Everything the screens show. */
export interface AppState extends Shelf {
  readonly owed: readonly OwedRow[];
  readonly lang: Lang;
  readonly place: Place;
  readonly sending: boolean;
  readonly loaded: boolean;
  /** A new version of the page waits for this one to be left. */
  readonly newVersion: boolean;
}

let state: AppState = {
  visits: [],
  facts: [],
  photos: [],
  claims: [],
  owed: [],
  lang: /^es\b/i.test(navigator.language) ? 'es' : 'en',
  place: hereNow(),
  sending: false,
  loaded: false,
  newVersion: false,
};
const listeners = new Set<() => void>();

/** What the screens show now. */
export function current(): AppState {
  return state;
}

/** Changes what the screens show, but nothing that is kept. */
export function show(change: Partial<AppState>): void {
  state = { ...state, ...change };
  for (const listen of listeners) listen();
}

/** The state, for a component that draws itself again when it changes. */
export function useApp(): AppState {
  const [now, setNow] = useState(state);
  useEffect(() => {
    const listen = (): void => setNow(current());
    listeners.add(listen);
    listen();
    return () => {
      listeners.delete(listen);
    };
  }, []);
  return now;
}

/** Reads again what the phone holds. The bytes of photos are left where they are. */
export async function refresh(): Promise<void> {
  const held = await withStore(async (db) => {
    const [visits, facts, photos, claims, owed] = await Promise.all([
      db.getAll('visits'),
      db.getAll('facts'),
      db.getAll('photos'),
      db.getAll('claims'),
      db.getAll('owed'),
    ]);
    return { visits, facts, photos, claims, owed };
  });
  const lang = (await setting('lang')) ?? state.lang;
  await learn(lang).catch(() => undefined);
  document.documentElement.lang = lang;
  show({ ...held, lang, loaded: true });
}

function hereNow(): Place {
  return { path: location.pathname.replace(/\/$/, '') || '/', query: new URLSearchParams(location.search) };
}

/** Goes to a screen. The address says where the crew is, so that a reload, or a killed browser, comes back to it. */
export function go(address: string, replace = false): void {
  if (replace) history.replaceState(null, '', address);
  else history.pushState(null, '', address);
  show({ place: hereNow() });
  scrollTo(0, 0);
}

addEventListener('popstate', () => show({ place: hereNow() }));
onTold((what) => {
  if (what === 'changed' || what === 'stop') void refresh();
});

const PATIENCE_MS = 5000;

/** Resolves when this phone holds a visit; at the latest after five seconds. */
export function firstVisit(): Promise<void> {
  return new Promise((done) => {
    const look = (): void => {
      if (state.visits.length > 0) end();
    };
    const alarm = setTimeout(() => end(), PATIENCE_MS);
    const end = (): void => {
      clearTimeout(alarm);
      listeners.delete(look);
      done();
    };
    listeners.add(look);
    look();
  });
}
