import { mkdtemp, readdir, rm, stat, utimes, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { Readable } from 'node:stream';
import { buffer } from 'node:stream/consumers';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { FolderStore } from './folder-store.js';
import { ContentTooLarge, type Arrived } from './original-store.js';

let root: string;
let store: FolderStore;

beforeEach(async () => {
  root = await mkdtemp(join(tmpdir(), 'as-noted-store-'));
  store = new FolderStore(root);
  await store.open(Temporal.Now.instant());
});
afterEach(async () => {
  await rm(root, { recursive: true, force: true });
});

/** FIPS 180-4 example: SHA-256 of "abc". */
const ABC = 'ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad';
const rules = { maxBytes: 1000 };

async function everything(): Promise<string[]> {
  const found = await readdir(root, { recursive: true, withFileTypes: true });
  return found
    .filter((entry) => entry.isFile())
    .map((entry) => join(entry.parentPath, entry.name).slice(root.length + 1));
}

describe('the folder store', () => {
  it('keeps content under its hash, byte for byte', async () => {
    const kept = await store.put(Readable.from([Buffer.from('a'), Buffer.from('bc')]), rules);
    expect(kept).toEqual({ sha256: ABC, bytes: 3 });
    expect(await everything()).toEqual([`ba/78/${ABC}`]);
    expect((await buffer(store.get(ABC))).toString()).toBe('abc');
    expect(await store.size(ABC)).toBe(3);
  });

  it('keeps the same content once and does not write it again', async () => {
    await store.put(Readable.from([Buffer.from('abc')]), rules);
    const before = await stat(join(root, 'ba', '78', ABC));
    await Promise.all(Array.from({ length: 8 }, () => store.put(Readable.from([Buffer.from('abc')]), rules)));
    const after = await stat(join(root, 'ba', '78', ABC));
    expect([after.ino, after.size]).toEqual([before.ino, before.size]);
    expect(await everything()).toEqual([`ba/78/${ABC}`]);
  });

  it('leaves nothing behind when the sender goes away', async () => {
    const content = new Readable({ read: () => undefined });
    const put = store.put(content, rules);
    content.push(Buffer.from('half of'));
    content.destroy(new Error('the sender went away'));
    await expect(put).rejects.toThrow('the sender went away');
    expect(await everything()).toEqual([]);
  });

  it('leaves nothing behind when there is too much, and stops reading', async () => {
    const content = Readable.from(
      (function* () {
        for (;;) yield Buffer.alloc(400);
      })(),
    );
    await expect(store.put(content, rules)).rejects.toThrow(ContentTooLarge);
    expect(content.destroyed).toBe(true);
    expect(await everything()).toEqual([]);
  });

  it('shows what arrived before it is kept, and leaves nothing behind when it is not accepted', async () => {
    const seen: unknown[] = [];
    const accept = async (arrived: Arrived) => {
      seen.push(arrived.sha256, arrived.bytes, Buffer.from(await arrived.read(1, 10)).toString(), await everything());
      throw new Error('not wanted');
    };
    await expect(store.put(Readable.from([Buffer.from('abc')]), { ...rules, accept })).rejects.toThrow('not wanted');
    expect(seen.slice(0, 3)).toEqual([ABC, 3, 'bc']);
    expect(seen[3]).toEqual([expect.stringMatching(/^arriving\//)]);
    expect(await everything()).toEqual([]);
  });

  it('forgets what is deleted, twice without complaint', async () => {
    await store.put(Readable.from([Buffer.from('abc')]), rules);
    await store.delete(ABC);
    await store.delete(ABC);
    expect(await store.size(ABC)).toBeUndefined();
    await expect(buffer(store.get(ABC))).rejects.toThrow('ENOENT');
  });

  it('lists what it keeps in the order of the hashes, with size and the time of the last put', async () => {
    const from = Temporal.Now.instant().subtract({ seconds: 2 });
    for (const text of ['abc', 'b', 'c', 'd']) await store.put(Readable.from([Buffer.from(text)]), rules);
    await writeFile(join(root, 'ba', '78', 'notes.txt'), 'not ours');
    const listed = await Array.fromAsync(store.list());
    const hashes = listed.map(({ sha256 }) => sha256);
    expect(hashes).toEqual(hashes.toSorted());
    expect(listed).toHaveLength(4);
    expect(listed.find(({ sha256 }) => sha256 === ABC)?.bytes).toBe(3);
    expect(listed.every(({ putAt }) => Temporal.Instant.compare(putAt, from) > 0)).toBe(true);
  });

  it('does not delete what was put since, and tells a put from the one before', async () => {
    const path = join(root, 'ba', '78', ABC);
    await store.put(Readable.from([Buffer.from('abc')]), rules);
    await utimes(path, new Date(0), new Date(0));
    const since = Temporal.Instant.from('2020-01-01T00:00:00Z');
    await store.put(Readable.from([Buffer.from('abc')]), rules);
    await store.delete(ABC, since);
    expect(await store.size(ABC)).toBe(3);
    await utimes(path, new Date(0), new Date(0));
    await store.delete(ABC, since);
    expect(await everything()).toEqual([]);
  });

  it('keeps whole what is put while it is deleted', async () => {
    for (let round = 0; round < 30; round += 1) {
      await store.put(Readable.from([Buffer.from('abc')]), rules);
      await utimes(join(root, 'ba', '78', ABC), new Date(0), new Date(0));
      const since = Temporal.Now.instant().subtract({ minutes: 1 });
      await Promise.all([store.put(Readable.from([Buffer.from('abc')]), rules), store.delete(ABC, since)]);
      expect((await buffer(store.get(ABC))).toString()).toBe('abc');
    }
  });

  it('puts a whole copy in the place of one that lost its end', async () => {
    await store.put(Readable.from([Buffer.from('abc')]), rules);
    await writeFile(join(root, 'ba', '78', ABC), 'a');
    await store.put(Readable.from([Buffer.from('abc')]), rules);
    expect((await buffer(store.get(ABC))).toString()).toBe('abc');
    expect(await everything()).toEqual([`ba/78/${ABC}`]);
  });

  it('makes a path of nothing but a hash', async () => {
    for (const name of ['../../etc/passwd', ABC.toUpperCase(), `${ABC}/`, '']) {
      expect(() => store.get(name)).toThrow(RangeError);
      await expect(store.delete(name)).rejects.toThrow(RangeError);
    }
  });

  it('clears away what a killed process left half-arrived, but nothing that may still be arriving', async () => {
    const old = join(root, 'arriving', 'old');
    await writeFile(old, 'half');
    await utimes(old, new Date(0), new Date(0));
    await writeFile(join(root, 'arriving', 'fresh'), 'half');
    await store.open(Temporal.Now.instant());
    expect(await everything()).toEqual(['arriving/fresh']);
  });
});
