import { createHash } from 'node:crypto';
import serialise from 'canonicalize';

/** JSON text under the JSON Canonicalization Scheme (RFC 8785). @throws RangeError on NaN, infinities and undefined. */
export function canonicalJson(value: unknown): string {
  const text = serialise(value);
  if (text === undefined) throw new RangeError('the value has no JSON form');
  return text;
}

/** Lower-case hex SHA-256 (FIPS 180-4) of text (as UTF-8) or bytes. */
export function sha256Hex(content: string | Uint8Array): string {
  return createHash('sha256').update(content).digest('hex');
}

/** SHA-256 of the canonical JSON of a value: the content hash of policies, models, checklists and events. */
export function contentHash(value: unknown): string {
  return sha256Hex(canonicalJson(value));
}
