import { createContext, useContext } from 'react';
import type { Checklist } from '../../../inspections/inspections.contract.js';
import type { Fault } from '../../../kernel/outcome.js';
import type { KeptDraft } from '../parts/kept-draft.js';

/** What the fields of the editor share: the draft, what is wrong with it, and how it is changed. */
export interface Editing {
  readonly checklist: Checklist;
  readonly faults: readonly Fault[];
  readonly edit: KeptDraft<Checklist>['edit'];
}

const Shared = createContext<Editing | undefined>(undefined);

export const EditingProvider = Shared.Provider;

/** The draft around a field. @throws Error outside of an editor */
export function useEditing(): Editing {
  const editing = useContext(Shared);
  if (editing === undefined) throw new Error('a field of a checklist stands outside of its editor');
  return editing;
}

/** What is wrong at a place and below it, but not where a field of its own says so. */
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
