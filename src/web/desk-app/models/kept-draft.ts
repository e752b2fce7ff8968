import type { EvidenceModel } from '../../../diagnosis/diagnosis.contract.js';
import type { TypedModel } from './model-edits.js';

/** What somebody typed and did not save yet, and the state of the draft that they began from. */
export interface KeptDraft {
  readonly typed: TypedModel;
  readonly base: EvidenceModel;
  /** How often the draft had been changed by then. */
  readonly edit: number;
}

/** Where a person's unsaved changes of a draft rest in this browser. */
export function placeOf(person: string, code: string, version: number): string {
  return `as-noted-model ${person} ${code}/${version}`;
}

/** What rests in a place; undefined where nothing does, or nothing that can be read. */
export function keptAt(place: string): KeptDraft | undefined {
  const text = localStorage.getItem(place);
  if (text === null) return undefined;
  try {
    const kept = JSON.parse(text) as Partial<KeptDraft>;
    return kept.typed !== undefined && kept.base !== undefined && typeof kept.edit === 'number'
      ? { typed: kept.typed, base: kept.base, edit: kept.edit }
      : undefined;
  } catch {
    return undefined;
  }
}

/** Keeps it. @returns false where the browser has no room or keeps nothing */
export function keepAt(place: string, kept: KeptDraft): boolean {
  try {
    localStorage.setItem(place, JSON.stringify(kept));
    return true;
  } catch {
    return false;
  }
}

export function forgetAt(place: string): void {
  localStorage.removeItem(place);
}
