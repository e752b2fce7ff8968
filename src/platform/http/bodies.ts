import { Readable, Transform } from 'node:stream';
import multipart from '@fastify/multipart';
import type { FastifyInstance, FastifyRequest } from 'fastify';
import type { Limits } from '../config/config.js';
import { bodyFault } from './body-sanity.js';
import { Invalid, Refused } from './problems.js';

/**
 * What kinds of bodies the service reads: JSON (Fastify's own parser, which refuses prototype poisoning), forms of the plain
 * pages, files in forms, and the raw bytes of one photo as a stream that never grows past the limit.
 */
export async function readBodies(server: FastifyInstance, limits: Limits): Promise<void> {
  server.removeContentTypeParser('text/plain');
  server.addHook('onRequest', (request, _reply, next) => {
    // The database refuses NUL in text, so nothing that is asked for under such a name can be there.
    const odd = request.url.includes('%00');
    next(odd ? new Refused('not-found', 'The address holds a NUL character. Check what was put into it.') : undefined);
  });
  server.addHook('preValidation', (request, _reply, next) => {
    // Only JSON: a photo is a stream here, and a form has been read into flat text already.
    const isJson = (request.headers['content-type'] ?? '').includes('json');
    const fault = isJson ? bodyFault(request.body) : undefined;
    next(fault === undefined ? undefined : new Invalid([fault]));
  });
  server.addContentTypeParser(
    'application/x-www-form-urlencoded',
    { parseAs: 'string', bodyLimit: limits.bodyBytes },
    (request, text, done) => {
      if (request.url.startsWith('/v1/')) done(new Refused('unsupported-media-type', 'Send JSON.'), undefined);
      else done(null, formFields(String(text)));
    },
  );
  server.addContentTypeParser(/^(image\/|application\/octet-stream)/, (request, payload, done) => {
    try {
      done(null, boundedPhoto(request, payload, limits.uploadBytes));
    } catch (error) {
      done(error as Error, undefined);
    }
  });
  // Bytes of a resumable upload: left unread on the connection, for whoever writes them where they belong.
  server.addContentTypeParser('application/offset+octet-stream', (request, _payload, done) => {
    const isUpload = (request.routeOptions.url ?? '').startsWith('/v1/uploads');
    done(isUpload ? null : new Refused('unsupported-media-type', 'Send JSON.'), undefined);
  });
  await server.register(multipart, {
    throwFileSizeLimit: true,
    limits: {
      fileSize: limits.uploadBytes,
      files: 20,
      fields: 50,
      parts: 70,
      fieldSize: 64 * 1024,
      fieldNameSize: 200,
      headerPairs: 100,
    },
  });
}

/** Fields of a form; a name that comes more than once gives a list. */
export function formFields(text: string): Record<string, string | string[]> {
  const fields: Record<string, string | string[]> = Object.create(null) as Record<string, string | string[]>;
  for (const [name, value] of new URLSearchParams(text)) {
    const before = fields[name];
    fields[name] = before === undefined ? value : [...[before].flat(), value];
  }
  return { ...fields };
}

/** Only photo addresses take raw bytes. A length that is told is believed only to refuse; what arrives is counted. */
function boundedPhoto(request: FastifyRequest, payload: Readable, limit: number): Readable {
  if (!/\/photos(\/|$)/.test(request.routeOptions.url ?? '')) throw new Refused('unsupported-media-type', 'Send JSON.');
  if (Number(request.headers['content-length'] ?? 0) > limit) {
    // Thrown here, it would close the connection, and the sender would see it break instead of the answer. So it comes out of the
    // stream, and what is still sent is read past.
    payload.resume();
    const refused = new Readable({ read: (): void => undefined });
    refused.on('error', () => undefined);
    return refused.destroy(tooLarge(limit));
  }
  let seen = 0;
  const counted = new Transform({
    transform(chunk: Buffer, _encoding, next) {
      seen += chunk.length;
      if (seen > limit) next(tooLarge(limit));
      else next(null, chunk);
    },
  });
  payload.once('error', (error) => counted.destroy(error));
  payload.once('close', () => {
    if (!payload.readableEnded) counted.destroy(new Error('the sender went away'));
  });
  return payload.pipe(counted);
}

function tooLarge(limit: number): Refused {
  return new Refused(
    'photo-too-large',
    `A photo may have up to ${Math.floor(limit / 1_048_576)} MiB. Send a smaller one.`,
  );
}
