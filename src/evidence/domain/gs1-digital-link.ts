import type { Gs1Element } from './gs1-element-string.js';
import { identifier } from './gs1-identifiers.js';
import { valueFault, withDecimals } from './gs1-values.js';

export type DigitalLinkFault =
  | 'no web address'
  | 'no primary key'
  | 'wrong value'
  | 'wrong qualifier'
  | 'empty segment'
  | 'unknown identifier in the query'
  | 'wrong percent sign';

export type DigitalLinkReading =
  | { readonly ok: true; readonly elements: readonly Gs1Element[] }
  | { readonly ok: false; readonly fault: DigitalLinkFault; readonly part: string };

/** Primary keys, each with the chains of qualifiers that may follow, in this order, any of them left out. */
const KEYS: Readonly<Record<string, readonly (readonly string[])[]>> = {
  '00': [],
  '01': [['22', '10', '21'], ['235']],
  '253': [],
  '255': [],
  '401': [],
  '402': [],
  '414': [['254']],
  '417': [],
  '8003': [],
  '8004': [],
  '8006': [['22', '10', '21']],
  '8010': [['8011']],
  '8013': [],
  '8017': [['8019']],
  '8018': [['8019']],
};
/** Longer addresses are no labels. */
const MOST_CHARACTERS = 2000;

/**
 * A GS1 Digital Link URI, of any host: path `…/key/value/qualifier/value`, other identifiers in the query, unknown words there passed
 * over (GS1 Digital Link Standard: URI Syntax, section 4). Values are percent-encoded, `+` is itself. Words such as `/gtin/` in place
 * of identifiers and GTINs shorter than 14 digits are refused, as the standard's later releases do.
 */
export function parseDigitalLink(uri: string): DigitalLinkReading {
  const parts = /^https?:\/\/[^/?#\s]+(\/[^?#\s]*)?(?:\?([^#\s]*))?(?:#\S*)?$/i.exec(uri.slice(0, MOST_CHARACTERS + 1));
  if (!parts || uri.length > MOST_CHARACTERS) return { ok: false, fault: 'no web address', part: uri.slice(0, 80) };
  const segments = (parts[1] ?? '').split('/').slice(1);
  if (segments.at(-1) === '' && segments.length > 1) return { ok: false, fault: 'empty segment', part: parts[1] ?? '' };
  const start = segments.findLastIndex((segment, at) => segment in KEYS && (segments.length - at) % 2 === 0);
  if (start === -1) return { ok: false, fault: 'no primary key', part: parts[1] ?? '' };
  const path = readPath(segments.slice(start));
  if (!path.ok) return path;
  const query = readQuery(parts[2] ?? '');
  return query.ok ? { ok: true, elements: [...path.elements, ...query.elements] } : query;
}

/** A Digital Link for elements, keys and qualifiers in the path. @throws Error without a primary key @param stem e.g. `https://id.gs1.org` */
export function digitalLink(stem: string, elements: readonly Gs1Element[]): string {
  const key = elements.find(({ ai }) => ai in KEYS);
  if (!key) throw new Error('a Digital Link needs a primary key');
  const chain = KEYS[key.ai]?.find((each) => each.some((ai) => elements.some((element) => element.ai === ai))) ?? [];
  const inPath = [key, ...chain.flatMap((ai) => elements.filter((element) => element.ai === ai))];
  const rest = elements.filter((element) => !inPath.includes(element));
  const path = inPath.map(({ ai, value }) => `/${ai}/${encodeURIComponent(value)}`).join('');
  const query = rest.map(({ ai, value }) => `${ai}=${encodeURIComponent(value)}`).join('&');
  return `${stem}${path}${query === '' ? '' : `?${query}`}`;
}

function readPath(segments: readonly string[]): DigitalLinkReading {
  const elements: Gs1Element[] = [];
  for (let at = 0; at < segments.length; at += 2) {
    const read = readElement(segments[at] ?? '', segments[at + 1] ?? '');
    if (!read.ok) return read;
    elements.push(...read.elements);
  }
  const [key, ...qualifiers] = elements.map(({ ai }) => ai);
  const fits = qualifiers.length === 0 || (KEYS[key ?? ''] ?? []).some((chain) => isInOrder(qualifiers, chain));
  if (!fits) return { ok: false, fault: 'wrong qualifier', part: qualifiers.join(', ') };
  return { ok: true, elements };
}

function isInOrder(qualifiers: readonly string[], chain: readonly string[]): boolean {
  const places = qualifiers.map((ai) => chain.indexOf(ai));
  return places.every((place, at) => place > (places[at - 1] ?? -1));
}

function readQuery(query: string): DigitalLinkReading {
  const elements: Gs1Element[] = [];
  for (const pair of query.split(/[&;]/)) {
    const [name = '', ...value] = pair.split('=');
    // Words are the resolver's own; numbers are identifiers or nothing.
    if (!/^[0-9]+$/.test(name)) continue;
    if (!identifier(name)) return { ok: false, fault: 'unknown identifier in the query', part: pair };
    const read = readElement(name, value.join('='));
    if (!read.ok) return read;
    elements.push(...read.elements);
  }
  return { ok: true, elements };
}

function readElement(ai: string, encoded: string): DigitalLinkReading {
  const found = identifier(ai);
  if (!found) return { ok: false, fault: 'wrong qualifier', part: ai };
  const value = decoded(encoded);
  if (value === undefined) return { ok: false, fault: 'wrong percent sign', part: encoded };
  if (valueFault(found.parts, value)) return { ok: false, fault: 'wrong value', part: `(${ai})${value}` };
  const amount = found.decimals === undefined ? {} : { amount: withDecimals(value, found.decimals) };
  return { ok: true, elements: [{ ai, value, ...amount }] };
}

function decoded(text: string): string | undefined {
  try {
    return decodeURIComponent(text);
  } catch {
    return undefined;
  }
}
