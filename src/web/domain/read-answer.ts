import type { AnswerKind, AnswerValue, UnitInHand } from '../../inspections/inspections.contract.js';

/** The fields of an answer's form. */
export interface AnswerFields {
  /** First value of a field, trimmed; empty where it is missing. */
  text(name: string): string;
  /** Every value of a field. */
  all(name: string): readonly string[];
}

export type ReadAnswer =
  { readonly ok: true; readonly value: AnswerValue } | { readonly ok: false; readonly detail: string };

/** Name of the field for the pieces of one part. */
export function piecesField(part: string): string {
  return `pieces ${part}`;
}

/**
 * Reads what the crew entered. Whether it fits the checklist is judged where answers are kept; here only what a form cannot say is refused:
 * nothing at all, or letters where a number belongs.
 * @param photos ids of the photos that the item has, for items that are answered by photos alone
 */
export function readAnswer(
  kind: AnswerKind,
  fields: AnswerFields,
  unit: UnitInHand,
  photos: readonly string[],
): ReadAnswer {
  if (fields.text('could-not') !== '') return { ok: true, value: null };
  switch (kind.type) {
    case 'yes-no':
      return needed(fields.text('answer'), 'Tap yes or no, or say that you could not check.');
    case 'choice': {
      const chosen = fields.all('answer');
      if (chosen.length > 0) return { ok: true, value: chosen };
      return { ok: false, detail: 'Choose what you see, or say that you could not check.' };
    }
    case 'count':
      return readCount(fields, unit);
    case 'number':
      return readNumber(fields.text('answer'));
    case 'photo':
      if (photos.length > 0) return { ok: true, value: photos };
      return { ok: false, detail: 'There is no photo yet. Take one, or say that you could not check.' };
    case 'scan':
      return needed(fields.text('answer'), 'Scan or type what the label says, or say that you could not check.');
    case 'text':
      return needed(fields.text('answer'), 'Write a few words, or say that you could not check.');
  }
}

function needed(value: string, otherwise: string): ReadAnswer {
  return value === '' ? { ok: false, detail: otherwise } : { ok: true, value };
}

/** Numbers as people type them on a phone: with a point or a comma. */
function readNumber(text: string): ReadAnswer {
  const plain = text.replace(',', '.');
  if (/^-?\d{1,9}(\.\d{1,6})?$/.test(plain)) return { ok: true, value: Number(plain) };
  const detail =
    text === ''
      ? 'Write the number, or say that you could not check.'
      : `"${text.slice(0, 40)}" is not a number. Use digits.`;
  return { ok: false, detail };
}

/** Parts that were left empty were not counted, and stay out of the answer. */
function readCount(fields: AnswerFields, unit: UnitInHand): ReadAnswer {
  const counted: Record<string, number> = {};
  for (const { part } of unit.packingList) {
    const text = fields.text(piecesField(part));
    if (text === '') continue;
    if (!/^\d{1,5}$/.test(text)) return { ok: false, detail: `The pieces of ${part} must be a whole number.` };
    counted[part] = Number(text);
  }
  if (Object.keys(counted).length > 0) return { ok: true, value: counted };
  return { ok: false, detail: 'Count at least one part, or say that you could not check.' };
}
