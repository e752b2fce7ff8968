import { useEffect, useState } from 'react';

/** A document as the service has it, and the version to be sent back as If-Match. */
export interface Served<T> {
  readonly document: T;
  readonly version: string;
}

interface State<T> {
  /** What the changes began with, and its version. */
  readonly origin: T;
  readonly base: string;
  readonly document: T;
  readonly past: readonly T[];
  readonly future: readonly T[];
  /** What the last change was about: typing on in one field is one step back. */
  readonly about: string;
}

/** A document that somebody changes. What is not saved yet is kept by this browser, also when the page is closed. */
export interface KeptDraft<T> {
  readonly document: T;
  readonly changed: boolean;
  /** Somebody else has saved it meanwhile. */
  readonly overtaken: boolean;
  /** Version on which what is typed rests. */
  readonly base: string;
  readonly edit: (change: (document: T) => T, about?: string) => void;
  readonly undo: (() => void) | undefined;
  readonly redo: (() => void) | undefined;
  /** What was sent has been saved as this version. */
  readonly saved: (sent: T, version: string) => void;
  /** Goes on with one's own text on top of what the service has now. */
  readonly keepMine: () => void;
  /** Begins anew with what is given, without the steps before. */
  readonly begin: (served: Served<T>) => void;
  /** Gives one's own text up. */
  readonly takeTheirs: () => void;
}

const MOST_STEPS = 200;

/** @param name under which this browser keeps it; undefined where it must not be changed */
export function useKeptDraft<T extends object>(name: string, served: Served<T>): KeptDraft<T> {
  const [state, setState] = useState<State<T>>(() => resumed(name, served) ?? fresh(served));
  const changed = state.document !== state.origin;
  useEffect(() => {
    setState((now) => (now.document === now.origin && now.base !== served.version ? fresh(served) : now));
  }, [served]);
  useEffect(() => keep(name, changed ? state : undefined), [name, changed, state]);
  return {
    document: state.document,
    changed,
    overtaken: changed && state.base !== served.version,
    base: state.base,
    edit: (change, about = '') =>
      setState((now) => {
        const document = change(now.document);
        if (document === now.document) return now;
        const goesOn = about !== '' && about === now.about;
        const past = goesOn ? now.past : [...now.past, now.document].slice(-MOST_STEPS);
        return { ...now, document, past, future: [], about };
      }),
    undo: state.past.length === 0 ? undefined : () => setState(stepBack),
    redo: state.future.length === 0 ? undefined : () => setState(stepOn),
    saved: (sent, version) => setState((now) => ({ ...now, origin: sent, base: version, about: '' })),
    keepMine: () => setState((now) => ({ ...now, origin: served.document, base: served.version })),
    begin: (anew) => setState(fresh(anew)),
    takeTheirs: () => setState(fresh(served)),
  };
}

function fresh<T>({ document, version }: Served<T>): State<T> {
  return { origin: document, base: version, document, past: [], future: [], about: '' };
}

function stepBack<T>(now: State<T>): State<T> {
  const document = now.past.at(-1);
  if (document === undefined) return now;
  return { ...now, document, past: now.past.slice(0, -1), future: [now.document, ...now.future], about: '' };
}

function stepOn<T>(now: State<T>): State<T> {
  const [document, ...future] = now.future;
  if (document === undefined) return now;
  return { ...now, document, past: [...now.past, now.document], future, about: '' };
}

function keep<T>(name: string, state: State<T> | undefined): void {
  try {
    if (state === undefined) localStorage.removeItem(name);
    else localStorage.setItem(name, JSON.stringify({ base: state.base, document: state.document }));
  } catch {
    // A browser without room keeps it as long as the page is open.
  }
}

/** What this browser kept when the page was left. */
function resumed<T>(name: string, served: Served<T>): State<T> | undefined {
  try {
    const found = JSON.parse(localStorage.getItem(name) ?? 'null') as { base: string; document: T } | null;
    if (found === null) return undefined;
    return { ...fresh(served), base: found.base, document: found.document, past: [served.document] };
  } catch {
    return undefined;
  }
}
