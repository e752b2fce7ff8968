import type { GridColumn } from './grid-model.js';

/** The last of the alternatives that are written in a cell: what somebody is typing, and where it begins. */
function lastPart(column: GridColumn, text: string): { readonly at: number; readonly part: string } {
  // Outcomes and words that are one value have no alternatives.
  const at = column.part === 'condition' ? Math.max(text.lastIndexOf(','), text.lastIndexOf('(')) + 1 : 0;
  const space = /^\s*/.exec(text.slice(at))?.[0].length ?? 0;
  return { at: at + space, part: text.slice(at + space) };
}

/**
 * Values that a cell can have and that fit what is typed.
 * @param before what stood there before typing began; nothing is left out while it still stands there
 */
export function offered(column: GridColumn, text: string, before: string): readonly string[] {
  const offers = column.offers ?? [];
  const { part } = lastPart(column, text);
  const wanted = bare(part);
  if (wanted === '' || text === before) return offers;
  const fitting = offers.filter((offer) => bare(offer).includes(wanted));
  // What is there in full needs no offer.
  return fitting.length === 1 && fitting[0] === part ? [] : fitting;
}

/** The text with an offer in the place of what was being typed. */
export function completed(column: GridColumn, text: string, offer: string, before: string): string {
  if (text === before && before !== '') return offer;
  const { at, part } = lastPart(column, text);
  const closed = part.trimEnd().endsWith(')') ? ')' : '';
  return `${text.slice(0, at)}${offer}${closed}`;
}

function bare(text: string): string {
  return text.replaceAll(/["()]/g, '').trim().toLowerCase();
}
