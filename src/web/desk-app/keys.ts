import { useEffect, useRef } from 'react';

/** Keys to acts. A pair such as `g q` is two keys one after the other within a second. */
export type Keys = Readonly<Record<string, () => void>>;

const STORED = 'as-noted-keys-off';

/** Whether single keys do something; WCAG 2.1.4 wants a way to turn them off. */
export function keysAreOn(): boolean {
  return localStorage.getItem(STORED) === null;
}

export function turnKeys(on: boolean): void {
  if (on) localStorage.removeItem(STORED);
  else localStorage.setItem(STORED, '1');
}

/** Listens for keys while a page is shown; never while somebody types, and never beside Ctrl, Alt or Meta. */
export function useKeys(keys: Keys): void {
  const latest = useRef(keys);
  latest.current = keys;
  useEffect(() => {
    let first = '';
    let at = 0;
    const listen = (event: KeyboardEvent): void => {
      if (event.defaultPrevented || event.ctrlKey || event.metaKey || event.altKey || !keysAreOn()) return;
      if (typing(event.target) || document.querySelector('[role=dialog],[role=alertdialog]')) return;
      const pair = performance.now() - at < 1000 ? `${first} ${event.key}` : '';
      const act = latest.current[pair] ?? latest.current[event.key];
      [first, at] = [event.key, performance.now()];
      if (!act) return;
      event.preventDefault();
      act();
    };
    document.addEventListener('keydown', listen);
    return () => document.removeEventListener('keydown', listen);
  }, []);
}

function typing(target: EventTarget | null): boolean {
  return (
    target instanceof HTMLElement && (target.isContentEditable || /^(INPUT|SELECT|TEXTAREA)$/.test(target.tagName))
  );
}
