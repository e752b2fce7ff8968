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

/**
 * Listens for keys while a page is shown; never while somebody types, and never beside Ctrl, Alt or Meta. While a dialog is open, only
 * the keys of what is inside it do something.
 * @param inside what may itself be the dialog
 */
export function useKeys(keys: Keys, inside?: { readonly current: Element | null }): void {
  const latest = useRef(keys);
  latest.current = keys;
  const frame = useRef(inside);
  frame.current = inside;
  useEffect(() => {
    let first = '';
    let at = 0;
    const listen = (event: KeyboardEvent): void => {
      if (event.defaultPrevented || event.ctrlKey || event.metaKey || event.altKey || !keysAreOn()) return;
      const dialog = document.querySelector('[role=dialog],[role=alertdialog],dialog[open]');
      if (typing(event.target) || (dialog !== null && dialog !== frame.current?.current)) return;
      if (event.key === 'Enter' && working(event.target)) return;
      const before = performance.now() - at < 1000 ? first : '';
      // After g a single key is no act of its own, also in lists that know nothing of g.
      const act = latest.current[`${before} ${event.key}`] ?? (before === 'g' ? undefined : latest.current[event.key]);
      [first, at] = [event.key, performance.now()];
      if (!act) return;
      event.preventDefault();
      act();
    };
    document.addEventListener('keydown', listen);
    return () => document.removeEventListener('keydown', listen);
  }, []);
}

/** Whether Enter does something where the focus is. */
function working(target: EventTarget | null): boolean {
  return target instanceof HTMLElement && /^(A|BUTTON|SUMMARY)$/.test(target.tagName);
}

function typing(target: EventTarget | null): boolean {
  return (
    target instanceof HTMLElement && (target.isContentEditable || /^(INPUT|SELECT|TEXTAREA)$/.test(target.tagName))
  );
}
