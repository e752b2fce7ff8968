import type { FactType } from '../../policies.contract.js';
import { Day, Decimal } from '../values.js';

/** A cell or expression written slightly differently, and what was done to it. */
export interface TextMutant {
  readonly text: string;
  readonly words: string;
}

/** A literal in a cell, or a word that is none. */
const TOKENS = /@?"(?:[^"\\]|\\.)*"|\d+(?:\.\d+)?|[\p{L}_][\p{L}\p{N}_]*|\S/gu;

/** Cells written slightly wrong: every number and date one step up and down, every listed value left out, a single condition dropped. */
export function cellMutants(cell: string, type: FactType | undefined): TextMutant[] {
  const moved = movedLiterals(cell, type);
  if (moved.length > 0) return moved;
  return [...droppedValues(cell), ...(cell.trim() === '-' || listedValues(cell).length > 1 ? [] : [dropped(cell)])];
}

function dropped(cell: string): TextMutant {
  return { text: '-', words: `the condition ${cell} can be left out` };
}

/** Every number and date of a text one step up and down. */
export function movedLiterals(text: string, type: FactType | undefined): TextMutant[] {
  return [...text.matchAll(TOKENS)].flatMap(({ 0: token, index }): TextMutant[] =>
    neighbours(token, text.slice(0, index), type).map((other) => ({
      text: text.slice(0, index) + other + text.slice(index + token.length),
      words: `${bare(token)} can be ${bare(other)}`,
    })),
  );
}

function bare(token: string): string {
  return token.replace(/^@?"|"$/g, '');
}

function neighbours(token: string, before: string, type: FactType | undefined): string[] {
  if (/^\d/.test(token)) return movedNumber(token, type);
  const isDate = token.startsWith('@"') || (token.startsWith('"') && /\bdate\(\s*$/.test(before));
  const day = isDate ? Day.parse(bare(token)) : undefined;
  if (!day) return [];
  const start = token.slice(0, token.indexOf('"'));
  return [-1, 1].map((step) => `${start}"${new Day(day.epochDay + step).toString()}"`);
}

/** One step of a number: one for whole numbers, the last digit of the scale or of how it is written for others. */
export function movedNumber(text: string, type: FactType | undefined): string[] {
  const number = new Decimal(text);
  const step = stepOf(number, type);
  // A number that would go below nought is written as it is read: the sign belongs to the cell.
  return [number.minus(step), number.plus(step)].filter((each) => !each.isNegative()).map((each) => each.toFixed());
}

function stepOf(number: Decimal, type: FactType | undefined): Decimal {
  if (type?.type === 'integer') return new Decimal(1);
  const digits =
    type?.type === 'decimal' && type.scale !== undefined ? type.scale : Math.max(2, number.decimalPlaces());
  return new Decimal(10).pow(-digits);
}

/** Alternatives of a cell that only lists texts, perhaps negated; none for any other cell. */
function listedValues(cell: string): string[] {
  const inner = /^\s*not\s*\((.*)\)\s*$/s.exec(cell)?.[1] ?? cell;
  const values = [...inner.matchAll(/"(?:[^"\\]|\\.)*"|null/g)].map(({ 0: value }) => value);
  return inner.replace(/"(?:[^"\\]|\\.)*"|null|[\s,]/g, '') === '' ? values : [];
}

function droppedValues(cell: string): TextMutant[] {
  const values = listedValues(cell);
  if (values.length < 2) return [];
  const negated = /^\s*not\s*\(/.test(cell);
  return values.map((value, place) => {
    const rest = values.filter((_, other) => other !== place).join(', ');
    return { text: negated ? `not(${rest})` : rest, words: `${bare(value)} can be left out of ${cell}` };
  });
}
