import type { TypedObservation } from './model-edits.js';

/** Whether a sign has every word that is looked for, in its words, its code, its item or its grounds. */
export function matches({ id, says, item, grounds, check }: TypedObservation, find: string): boolean {
  const text = [id, says, item, grounds, check.en, check.es ?? ''].join(' ').toLowerCase();
  return find
    .toLowerCase()
    .split(/\s+/)
    .every((word) => text.includes(word));
}
