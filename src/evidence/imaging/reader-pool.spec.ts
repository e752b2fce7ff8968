import { mkdtemp, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { pathToFileURL } from 'node:url';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { ReaderPool, ReaderQueueFull } from './reader-pool.js';

let folder: string;
let files = 0;

beforeAll(async () => {
  folder = await mkdtemp(join(tmpdir(), 'as-noted-reader-'));
});
afterAll(async () => {
  await rm(folder, { recursive: true, force: true });
});

describe('the pool', () => {
  const withEntry = async (text: string, use: (entry: URL) => Promise<void>) => {
    const file = join(folder, `entry-${(files += 1)}.mjs`);
    await writeFile(file, text);
    await use(pathToFileURL(file));
  };
  const anOrder = { file: '/dev/null', mediaType: 'image/jpeg', into: '/', sizes: [256] } as const;

  it('kills a reader at the deadline and serves the next photo with a new one', () =>
    withEntry(
      `let n = 0; process.on('message', ({ order, work }) => {
         if (work.file === 'endless') for (;;);
         process.send({ order, result: { ok: false, failure: 'damaged', detail: 'answered' } });
       });`,
      async (entry) => {
        const small = new ReaderPool({ readers: 1, deadlineMs: 700, entry });
        const endless = small.read({ ...anOrder, file: 'endless' });
        const pids = small.pids;
        const behind = small.read(anOrder);
        expect(await endless).toMatchObject({ ok: false, failure: 'too long' });
        expect(await behind).toMatchObject({ detail: 'answered' });
        expect(small.pids).not.toEqual(pids);
        await until(() => !isUp(pids[0]));
        await small.close();
      },
    ));

  it('answers for a reader that dies, and starts another', () =>
    withEntry(
      `process.on('message', ({ order, work }) => work.file === 'bad' ? process.kill(process.pid, 'SIGKILL')
         : process.send({ order, result: { ok: false, failure: 'damaged', detail: 'answered' } }));`,
      async (entry) => {
        const small = new ReaderPool({ readers: 1, entry });
        expect(await small.read({ ...anOrder, file: 'bad' })).toMatchObject({ failure: 'reader died' });
        expect(await small.read(anOrder)).toMatchObject({ detail: 'answered' });
        await small.close();
      },
    ));

  it.runIf(process.platform === 'linux')('kills a reader that takes too much memory and serves the next photo', () =>
    withEntry(
      `const held = [];
       process.on('message', ({ order, work }) => {
         if (work.file === 'bad') setInterval(() => held.push(Buffer.alloc(32 * 1024 * 1024, 1)), 5);
         else process.send({ order, result: { ok: false, failure: 'damaged', detail: 'answered' } });
       });`,
      async (entry) => {
        const small = new ReaderPool({ readers: 1, memoryBytes: 400 * 1024 * 1024, entry });
        const first = small.read({ ...anOrder, file: 'bad' });
        const pid = small.pids[0];
        expect(await first).toMatchObject({
          failure: 'too much memory',
          detail: expect.stringMatching(/\.$/) as string,
        });
        expect(await small.read(anOrder)).toMatchObject({ detail: 'answered' });
        await until(() => !isUp(pid));
        await small.close();
      },
    ),
  );

  it('replaces a reader after its share of photos and keeps nothing of the environment in it', () =>
    withEntry(
      `process.on('message', ({ order }) => process.send({ order, result: { ok: false, failure: 'damaged',
         detail: JSON.stringify({ pid: process.pid, names: Object.keys(process.env) }) } }));`,
      async (entry) => {
        const small = new ReaderPool({ readers: 1, ordersPerReader: 2, entry });
        const seen: { pid: number; names: string[] }[] = [];
        for (let n = 0; n < 4; n += 1) {
          const result = await small.read(anOrder);
          seen.push(JSON.parse(result.ok ? '' : result.detail) as { pid: number; names: string[] });
        }
        expect(new Set(seen.slice(0, 2).map(({ pid }) => pid)).size).toBe(1);
        expect(new Set(seen.map(({ pid }) => pid)).size).toBe(2);
        expect(seen.flatMap(({ names }) => names).filter((name) => !name.startsWith('NODE_CHANNEL'))).toEqual([]);
        await small.close();
      },
    ));

  it('refuses one photo too many, and every photo once it is closed', () =>
    withEntry(`process.on('message', () => undefined);`, async (entry) => {
      const small = new ReaderPool({ readers: 1, queueLimit: 1, entry });
      const first = small.read(anOrder);
      const second = small.read(anOrder);
      await expect(small.read(anOrder)).rejects.toThrow(ReaderQueueFull);
      const pid = small.pids[0];
      await small.close();
      expect(await Promise.all([first, second])).toMatchObject([
        { failure: 'reader died' },
        { failure: 'reader died' },
      ]);
      expect(isUp(pid)).toBe(false);
      await expect(small.read(anOrder)).rejects.toThrow('closed');
    }));
});

function isUp(pid: number | undefined): boolean {
  try {
    return pid !== undefined && process.kill(pid, 0);
  } catch {
    return false;
  }
}

async function until(holds: () => boolean): Promise<void> {
  while (!holds()) await new Promise((resolve) => setImmediate(resolve));
}
