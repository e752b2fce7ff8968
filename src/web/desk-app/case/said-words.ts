import type { AnswerValue } from '../../../inspections/inspections.contract.js';
import { itemsOf } from '../../../inspections/inspections.contract.js';
import type { CaseData } from '../../case-data.js';
import { answerWords } from '../../domain/walk-view.js';

/** A check and what was said to it, in words; by code where the checklist does not know it. */
export function wordsOf(
  { inspection }: Pick<CaseData, 'inspection'>,
  item: string,
  value: unknown,
): { readonly ask: string; readonly said: string } {
  const known = inspection === undefined ? undefined : itemsOf(inspection.walk.checklist).find(({ id }) => id === item);
  if (known === undefined) return { ask: item, said: JSON.stringify(value) };
  // What does not fit the check was refused before it got here, so that it is told as it came.
  try {
    return { ask: known.ask.en, said: answerWords(known, value as AnswerValue, 'en') };
  } catch {
    return { ask: known.ask.en, said: JSON.stringify(value) };
  }
}
