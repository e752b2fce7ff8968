import { createHash } from 'node:crypto';
import type { Listed, OriginalStore } from './original-store.js';

/** An original as the records have it: some number of photos of some size. */
export interface Recorded {
  readonly sha256: string;
  /** Of the smallest and the largest record; they differ only where a record is wrong. */
  readonly bytes: readonly [least: number, most: number];
  readonly photos: number;
}

export type StoreFaultKind = 'missing' | 'orphan' | 'wrong size' | 'wrong bytes' | 'unreadable';

export interface StoreFault {
  readonly kind: StoreFaultKind;
  readonly sha256: string;
  /** Photos that refer to it. */
  readonly photos: number;
  readonly says: string;
  /** Of orphans: when it was put last. */
  readonly putAt?: Temporal.Instant;
}

export interface StoreCheck {
  readonly originals: number;
  readonly bytes: number;
  readonly photos: number;
  readonly hashed: number;
}

/**
 * Compares what is recorded with what is kept, both ways. Both sides come in the order of the hashes, so memory stays flat however many
 * there are.
 * @param recorded every original that a photo refers to, by hash, ascending
 * @param rehash whether to read and hash every original that is referred to
 * @param onFault told of each fault as it is found
 */
export async function checkStore(
  store: OriginalStore,
  recorded: AsyncIterable<Recorded>,
  rehash: boolean,
  onFault: (fault: StoreFault) => void,
): Promise<StoreCheck> {
  const counts = { originals: 0, bytes: 0, photos: 0, hashed: 0 };
  for await (const { record, kept } of sideBySide(recorded, store.list())) {
    if (kept) {
      counts.originals += 1;
      counts.bytes += kept.bytes;
    }
    counts.photos += record?.photos ?? 0;
    if (!record) {
      if (kept) onFault(orphan(kept));
    } else if (!kept) {
      const says = `No original; ${photosOf(record)} cannot be shown to have been what it is said to be.`;
      onFault({ kind: 'missing', sha256: record.sha256, photos: record.photos, says });
    } else if (record.bytes.some((bytes) => bytes !== kept.bytes)) {
      const says = `${kept.bytes} bytes are kept where ${photosOf(record)} had ${[...new Set(record.bytes)].join(' or ')}.`;
      onFault({ kind: 'wrong size', sha256: record.sha256, photos: record.photos, says });
    } else if (rehash) {
      counts.hashed += 1;
      const fault = await hashed(store, record);
      if (fault) onFault(fault);
    }
  }
  return counts;
}

interface Pair {
  readonly record?: Recorded;
  readonly kept?: Listed;
}

/** Walks two ascending lists together: what is on both sides comes as one. */
async function* sideBySide(recorded: AsyncIterable<Recorded>, listed: AsyncIterable<Listed>): AsyncIterable<Pair> {
  const left = recorded[Symbol.asyncIterator]();
  const right = listed[Symbol.asyncIterator]();
  let [record, kept] = [await next(left), await next(right)];
  while (record || kept) {
    if (record && kept && record.sha256 === kept.sha256) {
      yield { record, kept };
      [record, kept] = [await next(left), await next(right)];
    } else if (record && (!kept || record.sha256 < kept.sha256)) {
      yield { record };
      record = await next(left);
    } else if (kept) {
      yield { kept };
      kept = await next(right);
    }
  }
}

async function next<T>(iterator: AsyncIterator<T>): Promise<T | undefined> {
  const { done, value } = await iterator.next();
  return done === true ? undefined : value;
}

function orphan({ sha256, bytes, putAt }: Listed): StoreFault {
  return {
    kind: 'orphan',
    sha256,
    photos: 0,
    putAt,
    says: `No photo refers to these ${bytes} bytes, put at ${putAt.toString()}.`,
  };
}

async function hashed(store: OriginalStore, record: Recorded): Promise<StoreFault | undefined> {
  const { sha256, photos } = record;
  const hash = createHash('sha256');
  try {
    for await (const chunk of store.get(sha256) as AsyncIterable<Uint8Array>) hash.update(chunk);
  } catch (error) {
    const reason = error instanceof Error ? error.message : String(error);
    return {
      kind: 'unreadable',
      sha256,
      photos,
      says: `The original of ${photosOf(record)} cannot be read: ${reason}`,
    };
  }
  const found = hash.digest('hex');
  if (found === sha256) return undefined;
  return {
    kind: 'wrong bytes',
    sha256,
    photos,
    says: `The original of ${photosOf(record)} was altered: its hash is ${found}.`,
  };
}

function photosOf({ photos }: Recorded): string {
  return photos === 1 ? '1 photo' : `${photos} photos`;
}
