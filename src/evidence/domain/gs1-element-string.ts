import { identifier, leadingIdentifier } from './gs1-identifiers.js';
import { valueFault, withDecimals, type ValueFault } from './gs1-values.js';

/** One application identifier with its value, as printed. */
export interface Gs1Element {
  readonly ai: string;
  readonly value: string;
  /** The value with its decimals, where the identifier tells them: '0.189'. */
  readonly amount?: string;
}

export type Gs1Fault =
  ValueFault | 'no identifier' | 'unknown identifier' | 'wrong brackets' | 'too many elements' | 'empty' | 'not GS1';

/** Elements in their order, or what is wrong and where: `at` is an offset into the text that was given. */
export type Gs1Reading =
  | { readonly ok: true; readonly elements: readonly Gs1Element[] }
  | { readonly ok: false; readonly fault: Gs1Fault; readonly at: number; readonly ai?: string };

/** The character that scanners send for FNC1: group separator. */
export const FNC1 = '\u001D';
/** More elements than this are no label (the reference engine's bound). */
const MOST_ELEMENTS = 64;
const MOST_VALUE = 90;

/**
 * Element strings as they stand in a symbol: identifiers and values in a row, FNC1 behind values of open length (GS1 General
 * Specifications, section 7.8). FNC1 first, behind a value of fixed length and at the end is tolerated.
 */
export function parseElementString(data: string): Gs1Reading {
  const elements: Gs1Element[] = [];
  let at = data.startsWith(FNC1) ? 1 : 0;
  if (at === data.length) return { ok: false, fault: 'empty', at };
  while (at < data.length) {
    if (elements.length === MOST_ELEMENTS) return { ok: false, fault: 'too many elements', at };
    const found = leadingIdentifier(data.slice(at, at + 4));
    if (!found)
      return { ok: false, fault: /^[0-9]{2}/.test(data.slice(at)) ? 'unknown identifier' : 'no identifier', at };
    const start = at + found.ai.length;
    const separator = data.indexOf(FNC1, start);
    const end = separator === -1 ? data.length : separator;
    const most = found.parts.reduce((sum, part) => sum + part.most, 0);
    const value = found.fixed ? data.slice(start, Math.min(end, start + most)) : data.slice(start, end);
    const fault = valueFault(found.parts, value);
    if (fault) return { ok: false, fault, at: start, ai: found.ai };
    elements.push(element(found.ai, value, found.decimals));
    at = start + value.length;
    if (data[at] === FNC1) at += 1;
  }
  return { ok: true, elements };
}

/** The form for people: `(01)12345678901231(10)ABC`. An opening bracket inside a value is written `\(`. */
export function parseBracketed(text: string): Gs1Reading {
  const elements: Gs1Element[] = [];
  let at = 0;
  if (text === '') return { ok: false, fault: 'empty', at };
  while (at < text.length) {
    if (elements.length === MOST_ELEMENTS) return { ok: false, fault: 'too many elements', at };
    const head = /^\(([0-9]{2,4})\)/.exec(text.slice(at, at + 6));
    const ai = head?.[1];
    if (ai === undefined) return { ok: false, fault: text[at] === '(' ? 'wrong brackets' : 'no identifier', at };
    const found = identifier(ai);
    if (!found) return { ok: false, fault: 'unknown identifier', at, ai };
    const start = at + ai.length + 2;
    const body = /^(?:\\\(|[^(])*/.exec(text.slice(start, start + MOST_VALUE * 2))?.[0] ?? '';
    const value = body.replaceAll('\\(', '(');
    const fault = valueFault(found.parts, value);
    if (fault) return { ok: false, fault, at: start, ai };
    elements.push(element(ai, value, found.decimals));
    at = start + body.length;
  }
  return { ok: true, elements };
}

/** Elements as they stand in a symbol, FNC1 first. */
export function elementString(elements: readonly Gs1Element[]): string {
  return elements.reduce((data, { ai, value }, at) => {
    const ended = at === elements.length - 1 || identifier(ai)?.fixed === true;
    return `${data}${ai}${value}${ended ? '' : FNC1}`;
  }, FNC1);
}

/** Elements in the form for people. */
export function bracketed(elements: readonly Gs1Element[]): string {
  return elements.map(({ ai, value }) => `(${ai})${value.replaceAll('(', '\\(')}`).join('');
}

/**
 * What a scanner sends: a symbology identifier, then data. `]C1`, `]d2`, `]Q3`, `]e0` and `]J1` lead element strings, `]E0` a GTIN-13
 * (GS1 General Specifications, figure 5.1.2-1). @returns `not GS1` for any other
 */
export function parseScanned(text: string): Gs1Reading {
  const kind = text.slice(0, 3);
  const data = text.slice(3);
  if (kind === ']E0') {
    const reading = parseElementString(`01${data.padStart(14, '0')}`);
    if (data.length === 13) return reading;
    return { ok: false, fault: data.length < 13 ? 'too short' : 'too long', at: 3, ai: '01' };
  }
  if (![']C1', ']d2', ']Q3', ']e0', ']J1'].includes(kind)) return { ok: false, fault: 'not GS1', at: 0 };
  const reading = parseElementString(data);
  return reading.ok ? reading : { ...reading, at: reading.at + 3 };
}

function element(ai: string, value: string, decimals: number | undefined): Gs1Element {
  if (decimals === undefined) return { ai, value };
  // 391n and 393n begin with the currency's three digits.
  const digits = ai.startsWith('391') || ai.startsWith('393') ? value.slice(3) : value;
  return { ai, value, amount: withDecimals(digits, decimals) };
}
