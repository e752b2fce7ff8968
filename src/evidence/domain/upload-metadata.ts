import { parseUuid } from '../../kernel/ids.js';
import type { Fault } from '../../kernel/outcome.js';

/** What a resumable upload says of its photo when it is created. */
export interface UploadMetadata {
  readonly inspectionId: string;
  readonly photoId: string;
  readonly item: string;
  readonly shows: string;
  /** Lower-case hex of the whole photo. */
  readonly sha256: string;
  readonly fileName?: string;
  readonly declaredType?: string;
  /** RFC 3339 with an offset. */
  readonly takenAt?: string;
}

export type ReadMetadata =
  { readonly ok: true; readonly metadata: UploadMetadata } | { readonly ok: false; readonly faults: readonly Fault[] };

/**
 * Reads Upload-Metadata as the creation extension of tus 1.0.0 defines it: comma-separated pairs of an ASCII key and a base64 value, keys
 * unique, a missing value standing for an empty one. Keys that are not known here are left alone.
 * @param header the field as received; undefined when there is none
 */
export function readUploadMetadata(header: string | undefined): ReadMetadata {
  const pairs = pairsOf(header ?? '');
  if (pairs === undefined) {
    const detail = 'Upload-Metadata must be pairs like "item Y2FydG9u", separated by commas, each key once.';
    return { ok: false, faults: [{ pointer: '#/Upload-Metadata', detail }] };
  }
  const faults: Fault[] = [];
  const value = (key: string, what: string, accept: (text: string) => string | undefined): string => {
    const found = accept(pairs.get(key) ?? '');
    if (found === undefined) faults.push({ pointer: `#/Upload-Metadata/${key}`, detail: `"${key}" must be ${what}.` });
    return found ?? '';
  };
  const optional = (key: string, longest: number): string | undefined => {
    const text = pairs.get(key);
    return text === undefined || text === '' ? undefined : text.slice(0, longest);
  };
  const metadata = {
    inspectionId: value('inspection', 'the id of the inspection (a UUID)', parseUuid),
    photoId: value('photo', 'an id of your own for the photo (a UUID)', parseUuid),
    item: value('item', 'the checklist item, 1 to 100 characters', shortText),
    shows: value('shows', 'the photo demand of the item, or "extra"', shortText),
    sha256: value('sha256', 'the SHA-256 of the whole photo as 64 hexadecimal digits', hash),
    ...present('fileName', optional('filename', 200)),
    ...present('declaredType', optional('filetype', 100)),
    ...present('takenAt', optional('takenat', 40)),
  };
  return faults.length === 0 ? { ok: true, metadata } : { ok: false, faults };
}

function pairsOf(header: string): Map<string, string> | undefined {
  const pairs = new Map<string, string>();
  for (const pair of header.split(',')) {
    const [key = '', encoded = '', ...rest] = pair.trim().split(' ');
    if (key === '' && encoded === '' && header.trim() === '') continue;
    const odd = !/^[!-+\--~]+$/.test(key) || !/^[A-Za-z0-9+/]*={0,2}$/.test(encoded) || rest.length > 0;
    if (odd || pairs.has(key)) return undefined;
    pairs.set(key, Buffer.from(encoded, 'base64').toString('utf8'));
  }
  return pairs;
}

function shortText(text: string): string | undefined {
  return text.length >= 1 && text.length <= 100 && text.isWellFormed() && !text.includes('\0') ? text : undefined;
}

function hash(text: string): string | undefined {
  return /^[0-9a-fA-F]{64}$/.test(text) ? text.toLowerCase() : undefined;
}

function present<K extends string>(key: K, value: string | undefined): { readonly [P in K]?: string } {
  return value === undefined ? {} : ({ [key]: value } as { readonly [P in K]: string });
}
