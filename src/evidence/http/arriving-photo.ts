import { Readable } from 'node:stream';
import type { FastifyRequest } from 'fastify';
import { Refused } from '../../platform/http/problems.js';
import { parseDigestField } from '../evidence.contract.js';

/**
 * The sha-256 that a request states in Content-Digest or Repr-Digest (RFC 9530); with neither encoding nor range in play they are the
 * same. @throws Refused photo-digest-missing, photo-digest-mismatch when both are there and differ
 */
export function statedDigest(headers: FastifyRequest['headers']): string {
  const stated = ['content-digest', 'repr-digest'].flatMap((name) => {
    const value = headers[name];
    return value === undefined ? [] : [parseDigestField(Array.isArray(value) ? value.join(', ') : value)];
  });
  const [first = parseDigestField(undefined), second] = stated;
  if (!first.ok) throw new Refused('photo-digest-missing', first.detail);
  if (second && !second.ok) throw new Refused('photo-digest-missing', second.detail);
  if (second && second.sha256 !== first.sha256) {
    throw new Refused(
      'photo-digest-mismatch',
      'Content-Digest and Repr-Digest state different bytes. Send one of them.',
    );
  }
  return first.sha256;
}

/**
 * The raw bytes of a request as a stream. @throws Refused unsupported-media-type for anything but raw bytes as they are;
 * invalid-request for a part of a photo (RFC 9110 section 14.5)
 */
export function rawBytes(request: FastifyRequest): Readable {
  const encoding = request.headers['content-encoding'];
  if (encoding !== undefined && encoding !== 'identity') {
    throw new Refused('unsupported-media-type', 'Send the photo as it is, without Content-Encoding.');
  }
  if (request.headers['content-range'] !== undefined) {
    throw new Refused('invalid-request', 'A photo is sent whole, without Content-Range.');
  }
  if (!(request.body instanceof Readable)) {
    throw new Refused(
      'unsupported-media-type',
      'Send the bytes of one photo, with Content-Type image/jpeg or the like.',
    );
  }
  return request.body;
}

/** Reads past what the sender still sends after a refusal, so that it gets to read the answer. */
export function readPast(request: FastifyRequest): void {
  request.raw.unpipe();
  request.raw.resume();
}
