import type { Readable } from 'node:stream';
import type { ByteSource } from '../domain/declared-size.js';

/** Content that has fully arrived but is not kept yet. */
export interface Arrived extends ByteSource {
  /** Lower-case hex of the bytes as they came. */
  readonly sha256: string;
}

export interface Kept {
  readonly sha256: string;
  readonly bytes: number;
}

/** What a store says of one thing that it keeps. */
export interface Listed extends Kept {
  /** When it was put last. */
  readonly putAt: Temporal.Instant;
}

/** More bytes came than the store was told to take. Nothing of them is kept. */
export class ContentTooLarge extends Error {
  override readonly name = 'ContentTooLarge';
}

/** The store does not answer, or refuses the service. The message says in a sentence what the operator can do. */
export class StoreUnavailable extends Error {
  override readonly name = 'StoreUnavailable';
}

export interface PutRules {
  readonly maxBytes: number;
  /** Judges the arrived content before it is kept; throwing refuses it. */
  accept?(arrived: Arrived): Promise<void>;
}

/**
 * Keeps content under its SHA-256; the same bytes are kept once, whoever sends them. Content is never rewritten. Callers may delete
 * only what no record refers to any more. Five verbs, so that an object store can take the place of a folder; each may throw
 * StoreUnavailable.
 */
export interface OriginalStore {
  /**
   * Takes content in. Nothing is kept when the stream ends early, is longer than `maxBytes`, or `accept` throws.
   * @throws ContentTooLarge; whatever the stream or `accept` throws
   */
  put(content: Readable, rules: PutRules): Promise<Kept>;
  /** The content as a stream. The stream fails with code ENOENT when it is not there. */
  get(sha256: string): Readable;
  /** Bytes, or undefined when it is not there. */
  size(sha256: string): Promise<number | undefined>;
  /** Everything that is kept, in the order of the hashes. What is put or deleted meanwhile may be listed or not. */
  list(): AsyncIterable<Listed>;
  /**
   * Removes content; removing what is not there is no error.
   * @param unlessPutSince leaves alone what was put, again or for the first time, at that instant or later
   */
  delete(sha256: string, unlessPutSince?: Temporal.Instant): Promise<void>;
}

/** @throws RangeError for anything but a SHA-256 in lower-case hex: it becomes a path or an address. */
export function demandHash(sha256: string): void {
  if (!/^[0-9a-f]{64}$/.test(sha256)) throw new RangeError('not a SHA-256 in lower-case hex');
}
