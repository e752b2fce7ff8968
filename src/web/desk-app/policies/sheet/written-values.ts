import type { FactType, OutcomeScalar, OutcomeValue } from '../../../../policies/policies.contract.js';

/** An outcome as it is written in a cell: text without quotes, yes and no as true and false, lists with commas. */
export function outcomeText(value: OutcomeValue | undefined): string {
  if (value === undefined) return '';
  if (typeof value === 'object' && value !== null) return value.map((item) => outcomeText(item)).join(', ');
  return String(value);
}

/**
 * What somebody wrote as the value that a type takes. What does not fit stays the text that it is, so that nothing that was typed is
 * lost and the checker says what is wrong with it.
 * @returns undefined where nothing is written
 */
export function outcomeOf(type: FactType, text: string): OutcomeValue | undefined {
  const written = text.trim();
  if (written === '') return undefined;
  if (type.list !== true || written === 'null') return scalarOf(type, written);
  return written.split(',').flatMap((item) => (item.trim() === '' ? [] : [scalarOf(type, item.trim())]));
}

function scalarOf({ type }: FactType, written: string): OutcomeScalar {
  if (written === 'null') return null;
  if (type === 'boolean') return YES_NO.get(written.toLowerCase()) ?? written;
  if (type === 'integer') return wholeOf(written) ?? written;
  return unquoted(written);
}

const YES_NO = new Map([
  ['true', true],
  ['yes', true],
  ['false', false],
  ['no', false],
]);

/** A whole number; undefined where the text is none. */
export function wholeOf(text: string): number | undefined {
  return /^-?\d{1,15}$/.test(text) ? Number(text) : undefined;
}

function unquoted(text: string): string {
  return /^"[^"]*"$/.test(text) ? text.slice(1, -1) : text;
}

/** What a fact or an outcome can be, in words. */
export function typeWords(type: FactType): string {
  const list = type.list === true ? 'list of ' : '';
  const maybe = type.optional === true ? ', or null' : '';
  return `${list}${kindWords(type)}${maybe}`;
}

function kindWords(type: FactType): string {
  switch (type.type) {
    case 'enum':
      return type.values.join(', ');
    case 'boolean':
      return 'true or false';
    case 'integer':
      return `whole number${rangeWords(type.min, type.max)}`;
    case 'decimal':
      return `decimal${rangeWords(type.min, type.max)}`;
    case 'date':
      return 'date';
    case 'text':
      return 'text';
  }
}

function rangeWords(min: number | string | undefined, max: number | string | undefined): string {
  if (min === undefined && max === undefined) return '';
  if (min === undefined) return ` up to ${max}`;
  return max === undefined ? ` from ${min}` : ` from ${min} to ${max}`;
}
