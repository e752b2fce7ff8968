import { createHash, randomUUID } from 'node:crypto';
import { mkdir, open, rm, type FileHandle } from 'node:fs/promises';
import { join } from 'node:path';
import type { Readable } from 'node:stream';
import { clearLeftOvers } from './left-overs.js';
import { ContentTooLarge, type Kept, type PutRules } from './original-store.js';

/** A folder in which content lies while it arrives and is hashed. */
export class ArrivalFolder {
  constructor(readonly path: string) {}

  /** Makes the folder and clears away what a killed process left half-arrived. */
  async open(now: Temporal.Instant): Promise<void> {
    await mkdir(this.path, { recursive: true, mode: 0o700 });
    await clearLeftOvers(this.path, now);
  }

  /**
   * Writes content to a file of its own, flushed to the disk and accepted, and hands it on. The file is gone afterwards.
   * @throws ContentTooLarge; whatever the stream, `accept` or `keep` throws
   */
  async receive(
    content: Readable,
    rules: PutRules,
    keep: (file: string, arrived: Kept) => Promise<void>,
  ): Promise<Kept> {
    // The sender may go away before anybody listens, which must not become an uncaught error.
    content.on('error', () => undefined);
    const path = join(this.path, randomUUID());
    const file = await open(path, 'wx+', 0o600);
    try {
      const arrived = await writeAndHash(content, file, rules.maxBytes);
      await rules.accept?.({ ...arrived, read: (offset, length) => readAt(file, offset, length) });
      await file.sync();
      await keep(path, arrived);
      return arrived;
    } finally {
      await file.close();
      await rm(path, { force: true });
    }
  }
}

/** Writes and hashes in one pass. The stream is destroyed on every failure, so that the sender notices. */
async function writeAndHash(content: Readable, file: FileHandle, maxBytes: number): Promise<Kept> {
  const hash = createHash('sha256');
  let bytes = 0;
  for await (const chunk of content as AsyncIterable<Uint8Array>) {
    bytes += chunk.length;
    if (bytes > maxBytes) throw new ContentTooLarge(`more than ${maxBytes} bytes`);
    hash.update(chunk);
    for (let written = 0; written < chunk.length;) {
      const { bytesWritten } = await file.write(chunk, written, chunk.length - written);
      written += bytesWritten;
    }
  }
  return { sha256: hash.digest('hex'), bytes };
}

async function readAt(file: FileHandle, offset: number, length: number): Promise<Uint8Array> {
  const buffer = Buffer.alloc(length);
  const { bytesRead } = await file.read(buffer, 0, length, offset);
  return buffer.subarray(0, bytesRead);
}
