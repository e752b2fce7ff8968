import { createHash } from 'node:crypto';
import { openAsBlob } from 'node:fs';
import { Readable } from 'node:stream';
import type { ReadableStream } from 'node:stream/web';
import { ArrivalFolder } from './arrival.js';
import { listing } from './object-listing.js';
import { ObjectRequests, type ObjectAnswer } from './object-requests.js';
import {
  demandHash,
  StoreUnavailable,
  type Kept,
  type Listed,
  type OriginalStore,
  type PutRules,
} from './original-store.js';

/** SHA-256 of nothing, which every request without a body states. */
const OF_NOTHING = createHash('sha256').digest('hex');

/**
 * Content in an object store of the S3 protocol; the key is the SHA-256. Content arrives and is hashed in a local folder, because its
 * hash is part of the request's signature. A put overwrites with the same bytes, so it may be repeated; conditional puts are not used,
 * because stores that speak the protocol overwrite all the same or do not know them. After a put the object is read back and hashed:
 * some servers acknowledge what they have stored wrongly.
 */
export class ObjectStore implements OriginalStore {
  private readonly arriving: ArrivalFolder;

  /** @param arriving local folder for what is on its way */
  constructor(
    private readonly requests: ObjectRequests,
    arriving: string,
  ) {
    this.arriving = new ArrivalFolder(arriving);
  }

  /** Makes the local folder and clears away what a killed process left in it. Call once before the first use. */
  async open(now: Temporal.Instant): Promise<void> {
    await this.arriving.open(now);
  }

  /** @throws StoreUnavailable with a sentence when the bucket cannot be used as configured */
  async probe(): Promise<void> {
    await this.requests.send('GET', '?list-type=2&max-keys=1', { sha256: OF_NOTHING });
  }

  async put(content: Readable, rules: PutRules): Promise<Kept> {
    return this.arriving.receive(content, rules, async (file, { sha256, bytes }) => {
      for (let tries = 0; tries < PUT_TRIES; tries += 1) {
        await this.requests.send('PUT', `/${sha256}`, { sha256, body: () => openAsBlob(file) });
        const stored = await this.hashOf(sha256);
        if (stored?.sha256 === sha256 && stored.bytes === bytes) return;
      }
      throw new StoreUnavailable(
        'The object store acknowledged a photo and gave other bytes back. Nothing was recorded. Check the store.',
      );
    });
  }

  get(sha256: string): Readable {
    demandHash(sha256);
    return Readable.from(this.read(sha256), { objectMode: false });
  }

  async size(sha256: string): Promise<number | undefined> {
    demandHash(sha256);
    const answer = await this.requests.send('HEAD', `/${sha256}`, { sha256: OF_NOTHING });
    return answer.found ? Number(answer.response.headers.get('content-length')) : undefined;
  }

  async *list(): AsyncIterable<Listed> {
    let after: string | undefined;
    do {
      const from = after === undefined ? '' : `&continuation-token=${encodeURIComponent(after)}`;
      const answer = await this.requests.send('GET', `?list-type=2&max-keys=1000${from}`, { sha256: OF_NOTHING });
      const page = listing(await textOf(answer));
      for (const { key, bytes, changedAt } of page.objects) {
        if (/^[0-9a-f]{64}$/.test(key)) yield { sha256: key, bytes, putAt: changedAt };
      }
      after = page.next;
    } while (after !== undefined);
  }

  async delete(sha256: string, unlessPutSince?: Temporal.Instant): Promise<void> {
    demandHash(sha256);
    if (unlessPutSince) {
      const answer = await this.requests.send('HEAD', `/${sha256}`, { sha256: OF_NOTHING });
      const changed = Date.parse(answer.response.headers.get('last-modified') ?? '');
      if (!answer.found || !(changed < unlessPutSince.epochMilliseconds)) return;
    }
    await this.requests.send('DELETE', `/${sha256}`, { sha256: OF_NOTHING });
  }

  private async *read(sha256: string): AsyncIterable<Uint8Array> {
    const answer = await this.requests.send('GET', `/${sha256}`, { sha256: OF_NOTHING });
    if (!answer.found) throw Object.assign(new Error(`there is no object ${sha256}`), { code: 'ENOENT' });
    const { body } = answer.response;
    if (body) yield* Readable.fromWeb(body as ReadableStream<Uint8Array>) as AsyncIterable<Uint8Array>;
  }

  private async hashOf(sha256: string): Promise<Kept | undefined> {
    const hash = createHash('sha256');
    let bytes = 0;
    try {
      for await (const chunk of this.read(sha256)) {
        hash.update(chunk);
        bytes += chunk.length;
      }
    } catch (error) {
      // Listed stores may need a moment before they show what they took; the next try puts it again.
      if (error instanceof Error && 'code' in error && error.code === 'ENOENT') return undefined;
      throw error;
    }
    return { sha256: hash.digest('hex'), bytes };
  }
}

const PUT_TRIES = 3;

async function textOf({ response, found }: ObjectAnswer): Promise<string> {
  if (!found)
    throw new StoreUnavailable('The object store has no such bucket. Create it, or correct AS_NOTED_S3_BUCKET.');
  return response.text();
}
