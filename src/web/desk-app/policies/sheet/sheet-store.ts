import { useSyncExternalStore } from 'react';
import {
  begun,
  edited,
  isSameDraft,
  redo,
  undo,
  type Draft,
  type DraftHistory,
  type EditPlace,
} from './draft-history.js';
import { mergeDrafts, type Merged } from './merge-drafts.js';

/** What a version was when one began to write: its tag and what it said. */
export interface Base {
  readonly tag: string;
  readonly draft: Draft;
}

/** One person's work on one version. */
export interface SheetWork {
  readonly base: Base;
  readonly history: DraftHistory;
  readonly changed: boolean;
  /** What somebody else saved meanwhile, put under one's own. */
  readonly merged?: Merged | undefined;
  /** When unsaved work of an earlier visit was put back, RFC 3339. */
  readonly restoredFrom?: string | undefined;
  /** The browser has no room for it. */
  readonly unkept: boolean;
}

/** How work is kept between visits. */
interface Kept {
  readonly base: Base;
  readonly draft: Draft;
  readonly at: string;
}

/** How long a browser may lose of what was typed, in ms. */
const KEEP_AFTER = 400;
const works = new Map<string, SheetWork>();
const listeners = new Set<() => void>();
/** Work in which a cell is being typed in, with what the service has had meanwhile. */
const held = new Map<string, Base | undefined>();
const timers = new Map<string, ReturnType<typeof setTimeout>>();

/** Where a person's work on a version is kept in this browser. */
export function workKey(person: string, code: string, version: number): string {
  return `as-noted-sheet ${person} ${code} ${version}`;
}

export function useWork(key: string): SheetWork | undefined {
  return useSyncExternalStore(
    (listen) => {
      listeners.add(listen);
      return () => listeners.delete(listen);
    },
    () => works.get(key),
  );
}

function put(key: string, work: SheetWork): void {
  works.set(key, work);
  for (const listen of listeners) listen();
}

/**
 * Takes what the service has. Work that rests on it goes on; work that rests on something older is put on top of it, and what nobody
 * has touched is simply shown as it is now.
 */
export function take(key: string, base: Base): void {
  if (held.has(key)) return void held.set(key, base);
  const work = works.get(key) ?? restored(key);
  if (work === undefined || !work.changed) {
    if (work?.base.tag !== base.tag) put(key, fresh(base));
    return;
  }
  if (work.base.tag === base.tag) {
    if (!works.has(key)) put(key, work);
    return;
  }
  const merged = mergeDrafts(work.base.draft, work.history.now, base.draft);
  const history = edited(begun(base.draft), merged.draft, { part: '' });
  // Where both wrote the same there is nothing left to save, and nothing to tell.
  const changed = !isSameDraft(history.now, base.draft);
  const before = work.merged?.theirs ?? [];
  const told = { ...merged, theirs: [...before, ...merged.theirs] };
  put(key, { ...work, base, history, changed, merged: merged.theirs.length > 0 ? told : undefined });
  keep(key);
}

/** While a cell is being typed in, nothing is moved under it; what has come meanwhile is taken once the cell is written. */
export function hold(key: string, is: boolean): void {
  if (is) return void (held.has(key) || held.set(key, undefined));
  const base = held.get(key);
  held.delete(key);
  if (base !== undefined) take(key, base);
}

function fresh(base: Base): SheetWork {
  return { base, history: begun(base.draft), changed: false, unkept: false };
}

/** What was sent is the new base; edits that were made while it was on its way stay, and so does the way back. */
export function saved(key: string, tag: string, sent: Draft): void {
  const work = works.get(key);
  if (work === undefined) return;
  const changed = !isSameDraft(work.history.now, sent);
  put(key, { ...work, base: { tag, draft: sent }, changed, restoredFrom: undefined });
  if (changed) keep(key);
  else forget(key);
}

/** One edit. */
export function edit(key: string, draft: Draft, place: EditPlace): void {
  const work = works.get(key);
  if (work !== undefined) step(key, work, edited(work.history, draft, place));
}

/** Takes the last edit back. @returns where it was */
export function takeBack(key: string): EditPlace | undefined {
  return along(key, undo);
}

/** Does again what was taken back. @returns where it is */
export function doAgain(key: string): EditPlace | undefined {
  return along(key, redo);
}

function along(key: string, way: typeof undo): EditPlace | undefined {
  const work = works.get(key);
  const next = work && way(work.history);
  if (work === undefined || next === undefined) return undefined;
  const { place, ...history } = next;
  step(key, work, history);
  return place;
}

function step(key: string, work: SheetWork, history: DraftHistory): void {
  if (history === work.history) return;
  put(key, { ...work, history, changed: !isSameDraft(history.now, work.base.draft) });
  keep(key);
}

/** Puts all unsaved edits away, for good. */
export function discard(key: string): void {
  const work = works.get(key);
  forget(key);
  if (work !== undefined) put(key, fresh(work.base));
}

/** The person has read what somebody else changed, or that old work was put back. */
export function dismiss(key: string): void {
  const work = works.get(key);
  if (work !== undefined) put(key, { ...work, merged: undefined, restoredFrom: undefined });
}

function forget(key: string): void {
  clearTimeout(timers.get(key));
  timers.delete(key);
  localStorage.removeItem(key);
}

function keep(key: string): void {
  clearTimeout(timers.get(key));
  timers.set(
    key,
    setTimeout(() => keepNow(key), KEEP_AFTER),
  );
}

/** Writes work down in this browser. */
function keepNow(key: string): void {
  clearTimeout(timers.get(key));
  timers.delete(key);
  const work = works.get(key);
  if (work === undefined) return;
  if (!work.changed) return localStorage.removeItem(key);
  const kept: Kept = { base: work.base, draft: work.history.now, at: Temporal.Now.instant().toString() };
  let unkept = false;
  try {
    localStorage.setItem(key, JSON.stringify(kept));
  } catch {
    unkept = true;
  }
  if (unkept !== work.unkept) put(key, { ...work, unkept });
}

/** Writes down at once whatever is waiting for it: the page is being left. */
export function keepAll(): void {
  for (const key of timers.keys()) keepNow(key);
}
globalThis.addEventListener?.('pagehide', keepAll);

function restored(key: string): SheetWork | undefined {
  const text = localStorage.getItem(key);
  if (text === null) return undefined;
  try {
    const { base, draft, at } = JSON.parse(text) as Kept;
    const history = edited(begun(base.draft), draft, { part: '' });
    return { base, history, changed: history.past.length > 0, restoredFrom: at, unkept: false };
  } catch {
    localStorage.removeItem(key);
    return undefined;
  }
}
