import { createReadStream } from 'node:fs';
import { link, mkdir, open, readdir, rename, rm, stat, utimes } from 'node:fs/promises';
import { dirname, join } from 'node:path';
import { randomUUID } from 'node:crypto';
import type { Readable } from 'node:stream';
import { ArrivalFolder } from './arrival.js';
import { demandHash, type Kept, type Listed, type OriginalStore, type PutRules } from './original-store.js';

/**
 * Content in a local folder: `ab/cd/<sha256>`. Content arrives in `arriving/` while it is hashed, is flushed to the disk, and takes
 * its final name by a hard link, which either happens whole or not at all; then the folder is flushed, so that what was acknowledged
 * survives a power cut. Its file's time is that of the last put.
 */
export class FolderStore implements OriginalStore {
  private readonly arriving: ArrivalFolder;

  constructor(private readonly root: string) {
    this.arriving = new ArrivalFolder(join(root, 'arriving'));
  }

  /** Makes the folder and clears away what a killed process left half-arrived. Call once before the first use. */
  async open(now: Temporal.Instant): Promise<void> {
    await this.arriving.open(now);
  }

  async put(content: Readable, rules: PutRules): Promise<Kept> {
    return this.arriving.receive(content, rules, (file, arrived) => this.name(file, arrived));
  }

  get(sha256: string): Readable {
    return createReadStream(this.path(sha256));
  }

  async size(sha256: string): Promise<number | undefined> {
    return (await this.facts(this.path(sha256)))?.size;
  }

  async *list(): AsyncIterable<Listed> {
    for (const first of await foldersIn(this.root)) {
      for (const second of await foldersIn(join(this.root, first))) {
        const folder = join(this.root, first, second);
        for (const sha256 of (await readdir(folder)).filter((name) => /^[0-9a-f]{64}$/.test(name)).sort()) {
          const found = await this.facts(join(folder, sha256));
          if (found) yield { sha256, bytes: found.size, putAt: instantOf(found.mtimeMs) };
        }
      }
    }
  }

  async delete(sha256: string, unlessPutSince?: Temporal.Instant): Promise<void> {
    const path = this.path(sha256);
    const before = await this.facts(path);
    if (!before || isSince(before.mtimeMs, unlessPutSince)) return;
    // Set aside first and looked at there, so that a put that happens meanwhile either shows in its time or takes the name anew.
    const aside = join(this.arriving.path, randomUUID());
    try {
      await rename(path, aside);
    } catch (error) {
      if (codeOf(error) === 'ENOENT') return;
      throw error;
    }
    if (isSince((await stat(aside)).mtimeMs, unlessPutSince)) await linkUnlessThere(aside, path);
    await rm(aside, { force: true });
  }

  private path(sha256: string): string {
    demandHash(sha256);
    return join(this.root, sha256.slice(0, 2), sha256.slice(2, 4), sha256);
  }

  private async facts(path: string): Promise<{ readonly size: number; readonly mtimeMs: number } | undefined> {
    try {
      return await stat(path);
    } catch (error) {
      if (codeOf(error) === 'ENOENT') return undefined;
      throw error;
    }
  }

  private async name(arrived: string, { sha256, bytes }: Kept): Promise<void> {
    const path = this.path(sha256);
    const folder = dirname(path);
    await mkdir(folder, { recursive: true, mode: 0o700 });
    while (!(await linkUnlessThere(arrived, path))) {
      // A file of another length is not what its name says: the disk lost a part of it. What has just arrived takes its place.
      if ((await this.facts(path))?.size !== bytes) {
        await rename(arrived, path);
        break;
      }
      if (await touched(path)) break;
    }
    for (const each of [folder, dirname(folder), this.root]) await flushFolder(each);
  }
}

/** @returns false when there is something of that name */
async function linkUnlessThere(from: string, to: string): Promise<boolean> {
  try {
    await link(from, to);
    return true;
  } catch (error) {
    if (codeOf(error) === 'EEXIST') return false;
    throw error;
  }
}

/** @returns false when the file has gone in the meantime */
async function touched(path: string): Promise<boolean> {
  const now = new Date(Temporal.Now.instant().epochMilliseconds);
  try {
    await utimes(path, now, now);
    return true;
  } catch (error) {
    if (codeOf(error) === 'ENOENT') return false;
    throw error;
  }
}

async function foldersIn(path: string): Promise<string[]> {
  return (await readdir(path)).filter((name) => /^[0-9a-f]{2}$/.test(name)).sort();
}

async function flushFolder(path: string): Promise<void> {
  const folder = await open(path, 'r');
  try {
    await folder.sync();
  } finally {
    await folder.close();
  }
}

function isSince(ms: number, since: Temporal.Instant | undefined): boolean {
  return since !== undefined && ms >= since.epochMilliseconds;
}

function instantOf(ms: number): Temporal.Instant {
  return Temporal.Instant.fromEpochMilliseconds(Math.floor(ms));
}

function codeOf(error: unknown): string | undefined {
  return error instanceof Error && 'code' in error && typeof error.code === 'string' ? error.code : undefined;
}
