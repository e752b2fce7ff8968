import { createContext, useContext } from 'react';
import type { Fault } from '../../../kernel/outcome.js';

/** What the fields of an editor share: the document as it is typed, what is wrong with it, and how it is changed. */
export interface Editing<T> {
  readonly document: T;
  readonly faults: readonly Fault[];
  readonly edit: (change: (document: T) => T, about?: string) => void;
}

const Shared = createContext<Editing<object> | undefined>(undefined);

export const EditingProvider = Shared.Provider;

/** For the provider: what the fields below it share. The document is what the editor put in, so that its type is known there only. */
export function sharing<T extends object>(editing: Editing<T>): Editing<object> {
  return editing as unknown as Editing<object>;
}

/** The document around a field. @throws Error outside of an editor */
export function useEditing<T extends object = object>(): Editing<T> {
  const editing = useContext(Shared);
  if (editing === undefined) throw new Error('a field stands outside of its editor');
  return editing as unknown as Editing<T>;
}

/** What is wrong at a place and below it. */
export function faultsBelow(faults: readonly Fault[], at: string): readonly Fault[] {
  return faults.filter(({ pointer }) => pointer === at || pointer.startsWith(`${at}/`));
}

/** Brings a person to the field of a pointer, or to the nearest thing around it that is on the page. */
export function goToPointer(pointer: string): void {
  for (let at = pointer; at !== ''; at = at.slice(0, Math.max(0, at.lastIndexOf('/')))) {
    const found = document.getElementById(at);
    if (found === null) continue;
    for (let fold = found.closest('details'); fold !== null; fold = fold.parentElement?.closest('details') ?? null)
      fold.open = true;
    found.scrollIntoView({ block: 'center' });
    found.focus({ preventScroll: true });
    return;
  }
}
