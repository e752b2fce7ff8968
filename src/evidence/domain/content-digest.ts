/**
 * Content-Digest and Repr-Digest (RFC 9530): a Structured Fields dictionary (RFC 8941 section 3.2) from algorithm to byte sequence.
 * Only sha-256 is taken; algorithms not known here are ignored, as section 2 demands.
 */
export type DigestField =
  | { readonly ok: true; readonly sha256: string }
  | { readonly ok: false; readonly reason: 'absent' | 'unreadable' | 'no sha-256'; readonly detail: string };

const HOW = 'Send Content-Digest: sha-256=:…: with the base64 of the SHA-256 of the bytes between the colons.';

/**
 * The sha-256 that a digest field states, as lower-case hex.
 * @param field the field value as received, several lines joined by ", "; undefined when the request has none
 */
export function parseDigestField(field: string | undefined): DigestField {
  if (field === undefined || field.trim() === '') {
    return { ok: false, reason: 'absent', detail: `The digest of the photo is missing. ${HOW}` };
  }
  const members = parseDictionary(field.trim());
  if (!members) return { ok: false, reason: 'unreadable', detail: `The digest field cannot be read. ${HOW}` };
  const stated = members.get('sha-256');
  if (stated === undefined) {
    return { ok: false, reason: 'no sha-256', detail: `The digest field has no sha-256. ${HOW}` };
  }
  if (stated === null || stated.length !== 32) {
    return { ok: false, reason: 'unreadable', detail: `The sha-256 of the digest field is not 32 bytes long. ${HOW}` };
  }
  return { ok: true, sha256: Buffer.from(stated).toString('hex') };
}

/** The field for a hex SHA-256, as sent with originals and renditions. */
export function digestField(sha256Hex: string): string {
  return `sha-256=:${Buffer.from(sha256Hex, 'hex').toString('base64')}:`;
}

const KEY = /[a-z*][a-z0-9_.*-]*/y;
const BYTES = /:([A-Za-z0-9+/]*={0,2}):/y;
/** Other bare items, read past and ignored: strings, tokens, numbers, booleans. */
const OTHER =
  /"(?:[\x20\x21\x23-\x5b\x5d-\x7e]|\\["\\])*"|[A-Za-z*][A-Za-z0-9!#$%&'*+.^_`|~:/-]*|-?\d{1,15}(?:\.\d{1,3})?|\?[01]/y;
const SPACE = /[ \t]*/y;

/** Members in order, a later one of the same key winning; null for members that are not byte sequences. Undefined on bad syntax. */
function parseDictionary(text: string): Map<string, Uint8Array | null> | undefined {
  const members = new Map<string, Uint8Array | null>();
  const cursor = { text, at: 0 };
  for (;;) {
    const key = take(cursor, KEY);
    if (key === undefined) return undefined;
    let value: Uint8Array | null = null;
    if (text[cursor.at] === '=') {
      cursor.at += 1;
      const read = takeItem(cursor);
      if (read === undefined) return undefined;
      value = read;
    }
    if (!skipParameters(cursor)) return undefined;
    members.set(key, value);
    take(cursor, SPACE);
    if (cursor.at === text.length) return members;
    if (text[cursor.at] !== ',') return undefined;
    cursor.at += 1;
    take(cursor, SPACE);
  }
}

interface Cursor {
  readonly text: string;
  at: number;
}

function takeItem(cursor: Cursor): Uint8Array | null | undefined {
  const bytes = take(cursor, BYTES);
  if (bytes !== undefined) return decodeBase64(bytes.slice(1, -1));
  return take(cursor, OTHER) === undefined ? undefined : null;
}

function decodeBase64(text: string): Uint8Array | undefined {
  const bare = text.replace(/=+$/, '');
  return bare.length % 4 === 1 ? undefined : Buffer.from(bare, 'base64');
}

function skipParameters(cursor: Cursor): boolean {
  while (cursor.text[cursor.at] === ';') {
    cursor.at += 1;
    take(cursor, SPACE);
    if (take(cursor, KEY) === undefined) return false;
    if (cursor.text[cursor.at] === '=') {
      cursor.at += 1;
      if (takeItem(cursor) === undefined) return false;
    }
  }
  return true;
}

function take(cursor: Cursor, pattern: RegExp): string | undefined {
  pattern.lastIndex = cursor.at;
  const found = pattern.exec(cursor.text)?.[0];
  if (found !== undefined) cursor.at += found.length;
  return found;
}
