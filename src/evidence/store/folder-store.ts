import { createHash, randomUUID } from 'node:crypto';
import { createReadStream } from 'node:fs';
import { link, mkdir, open, rm, stat, type FileHandle } from 'node:fs/promises';
import { dirname, join } from 'node:path';
import type { Readable } from 'node:stream';
import { clearLeftOvers } from './left-overs.js';
import { ContentTooLarge, type Arrived, type Kept, type OriginalStore } from './original-store.js';

/**
 * Content in a local folder: `ab/cd/<sha256>`. Content arrives in `arriving/` while it is hashed, is flushed to the disk, and takes
 * its final name by a hard link, which either happens whole or not at all; then the folder is flushed, so that what was acknowledged
 * survives a power cut.
 */
export class FolderStore implements OriginalStore {
  constructor(private readonly root: string) {}

  /** Makes the folder and clears away what a killed process left half-arrived. Call once before the first use. */
  async open(now: Temporal.Instant): Promise<void> {
    const arriving = join(this.root, 'arriving');
    await mkdir(arriving, { recursive: true, mode: 0o700 });
    await clearLeftOvers(arriving, now);
  }

  async put(
    content: Readable,
    rules: { readonly maxBytes: number; accept?(arrived: Arrived): Promise<void> },
  ): Promise<Kept> {
    // The sender may go away before anybody listens, which must not become an uncaught error.
    content.on('error', () => undefined);
    const arriving = join(this.root, 'arriving', randomUUID());
    const file = await open(arriving, 'wx+', 0o600);
    try {
      const kept = await receive(content, file, rules.maxBytes);
      await rules.accept?.({ ...kept, read: (offset, length) => readAt(file, offset, length) });
      await file.sync();
      await this.name(arriving, kept.sha256);
      return kept;
    } finally {
      await file.close();
      await rm(arriving, { force: true });
    }
  }

  get(sha256: string): Readable {
    return createReadStream(this.path(sha256));
  }

  async has(sha256: string): Promise<boolean> {
    return (await this.size(sha256)) !== undefined;
  }

  async size(sha256: string): Promise<number | undefined> {
    try {
      return (await stat(this.path(sha256))).size;
    } catch (error) {
      if (codeOf(error) === 'ENOENT') return undefined;
      throw error;
    }
  }

  async delete(sha256: string): Promise<void> {
    await rm(this.path(sha256), { force: true });
  }

  private path(sha256: string): string {
    // The name becomes a path: nothing but a hash may get here.
    if (!/^[0-9a-f]{64}$/.test(sha256)) throw new RangeError('not a SHA-256 in lower-case hex');
    return join(this.root, sha256.slice(0, 2), sha256.slice(2, 4), sha256);
  }

  private async name(arriving: string, sha256: string): Promise<void> {
    const path = this.path(sha256);
    const folder = dirname(path);
    await mkdir(folder, { recursive: true, mode: 0o700 });
    try {
      await link(arriving, path);
    } catch (error) {
      if (codeOf(error) !== 'EEXIST') throw error;
    }
    for (const each of [folder, dirname(folder), this.root]) await flushFolder(each);
  }
}

/** Writes and hashes in one pass. The stream is destroyed on every failure, so that the sender notices. */
async function receive(content: Readable, file: FileHandle, maxBytes: number): Promise<Kept> {
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

async function flushFolder(path: string): Promise<void> {
  const folder = await open(path, 'r');
  try {
    await folder.sync();
  } finally {
    await folder.close();
  }
}

function codeOf(error: unknown): string | undefined {
  return error instanceof Error && 'code' in error && typeof error.code === 'string' ? error.code : undefined;
}
