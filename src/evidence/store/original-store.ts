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

/** More bytes came than the store was told to take. Nothing of them is kept. */
export class ContentTooLarge extends Error {
  override readonly name = 'ContentTooLarge';
}

/**
 * Keeps content under its SHA-256; the same bytes are kept once, whoever sends them. Content is never rewritten. Callers may delete
 * only what no record refers to any more. Five verbs, so that an object store can take the place of a folder.
 */
export interface OriginalStore {
  /**
   * Takes content in. Nothing is kept when the stream ends early, is longer than `maxBytes`, or `accept` throws.
   * @param accept judges the arrived content before it is kept
   * @throws ContentTooLarge; whatever the stream or `accept` throws
   */
  put(content: Readable, rules: { readonly maxBytes: number; accept?(arrived: Arrived): Promise<void> }): Promise<Kept>;
  /** The content as a stream. The stream fails with ENOENT when it is not there. */
  get(sha256: string): Readable;
  has(sha256: string): Promise<boolean>;
  /** Bytes, or undefined when it is not there. */
  size(sha256: string): Promise<number | undefined>;
  /** Removes content; removing what is not there is no error. */
  delete(sha256: string): Promise<void>;
}
