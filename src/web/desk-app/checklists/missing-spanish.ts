import { isPlainObject } from '../../../kernel/shape.js';
import { pointer } from '../../../kernel/outcome.js';

/** Pointers of the sentences of a document that are written in English only; the crew reads those in English. */
export function missingSpanish(document: unknown, at = '#'): readonly string[] {
  if (Array.isArray(document)) return document.flatMap((each, index) => missingSpanish(each, pointer(at, index)));
  if (!isPlainObject(document)) return [];
  if (typeof document['en'] === 'string') return typeof document['es'] === 'string' ? [] : [at];
  return Object.entries(document).flatMap(([name, value]) => missingSpanish(value, pointer(at, name)));
}
