import { randomUUID } from 'node:crypto';
import { mkdir, mkdtemp, readFile, readdir, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import sharp from 'sharp';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import type { PhotoMediaType } from '../../src/evidence/domain/media-type.js';
import type { ReadFailure, ReadResult } from '../../src/evidence/imaging/reader-messages.js';
import { ReaderPool } from '../../src/evidence/imaging/reader-pool.js';
import { pngWithExif, webpWithExif, withExif } from '../support/exif-writer.js';
import { heicPhoto } from '../support/heic-photo.js';
import {
  FOR_THE_READER,
  LARGE,
  mutated,
  REFUSED_AT_THE_DOOR,
  seeded,
  type Hostile,
} from '../support/hostile-photos.js';

let folder: string;

beforeAll(async () => {
  folder = await mkdtemp(join(tmpdir(), 'as-noted-hostile-'));
});
afterAll(() => rm(folder, { recursive: true, force: true }));

async function read(
  pool: ReaderPool,
  content: Uint8Array,
  mediaType: PhotoMediaType,
  heic = true,
): Promise<ReadResult> {
  const into = join(folder, randomUUID());
  await mkdir(into);
  try {
    const file = join(into, 'original');
    await writeFile(file, content);
    return await pool.read({ file, mediaType, into, sizes: [256, 1024, 2048], heic });
  } finally {
    await rm(into, { recursive: true });
  }
}

/** High-water mark of a process's resident memory in MB, from /proc (Linux); 0 elsewhere, where only the answers are checked. */
async function peakMb(pid: number | undefined): Promise<number> {
  const status = await readFile(`/proc/${pid}/status`, 'utf8').catch(() => '');
  return Number(/VmHWM:\s+(\d+) kB/.exec(status)?.[1] ?? 0) / 1024;
}

/** Reads one file in a fresh reader that has read a small photo before. @returns the answer and what it cost in memory */
async function alone({ make, declared }: Hostile): Promise<{ result: ReadResult; grewMb: number }> {
  const pool = new ReaderPool({ readers: 1 });
  try {
    const small = await sharp({ create: { width: 64, height: 48, channels: 3, background: '#123456' } })
      .jpeg()
      .toBuffer();
    await read(pool, small, 'image/jpeg');
    const [pid] = pool.pids;
    const before = await peakMb(pid);
    const content = await make();
    const peaks: number[] = [];
    const watch = setInterval(() => void peakMb(pid).then((mb) => peaks.push(mb)), 20);
    const result = await read(pool, content, declared);
    clearInterval(watch);
    return { result, grewMb: Math.max(before, ...peaks, await peakMb(pid)) - before };
  } finally {
    await pool.close();
  }
}

const ENDINGS: readonly ReadFailure[] = ['damaged', 'too many pixels', 'not shown'];

describe('a file made to hurt', () => {
  it.each([...REFUSED_AT_THE_DOOR, ...FOR_THE_READER].map((hostile) => [hostile.name, hostile] as const))(
    'ends with an answer in its reader: %s',
    async (_name, hostile) => {
      const { result, grewMb } = await alone(hostile);
      expect(result.ok || ENDINGS.includes(result.failure)).toBe(true);
      // Measured: at most 30 MB, but for the JPEG that says 9,000 × 9,000, and the one of many scans.
      expect(grewMb).toBeLessThan(400);
    },
  );

  it.each(LARGE.map((large) => [large.name, large] as const))(
    'does not keep a large photo from being shown: %s',
    async (_name, large) => {
      const { result, grewMb } = await alone(large);
      expect(result).toMatchObject({ ok: true });
      // A progressive JPEG is held whole: 300 MB for 99 megapixels.
      expect(grewMb).toBeLessThan(900);
    },
  );
});

describe('damaged photos', () => {
  const FULL = {
    orientation: 6,
    make: 'Halde',
    model: 'Halde 3',
    takenAt: '2026:03:02 09:30:00',
    gps: { latitude: 48.1, longitude: 11.5 },
    makerNote: Buffer.alloc(500, 7),
  } as const;
  const scene = () =>
    sharp({
      create: {
        width: 96,
        height: 72,
        channels: 3,
        background: '#667788',
        noise: { type: 'gaussian', mean: 128, sigma: 30 },
      },
    });
  const SEEDS: readonly [PhotoMediaType, number, () => Promise<Buffer>][] = [
    ['image/jpeg', 1500, async () => withExif(await scene().jpeg().toBuffer(), FULL)],
    ['image/jpeg', 1000, async () => withExif(await scene().jpeg({ progressive: true }).toBuffer(), FULL)],
    ['image/png', 1000, async () => pngWithExif(await scene().png().toBuffer(), FULL)],
    ['image/webp', 1000, async () => webpWithExif(await scene().webp().toBuffer(), FULL)],
    ['image/heic', 1000, async () => heicPhoto()],
  ];

  it.each(SEEDS)('%s, %i of them: no crash, no hang, nothing left behind', async (mediaType, count, make) => {
    const pool = new ReaderPool({ readers: 2, queueLimit: count });
    const whole = await make();
    const next = seeded(count + mediaType.length);
    const left = await readdir(folder);
    try {
      // HEIC pixels have a test of their own below: each needs a process of its own.
      const results = await Promise.all(
        Array.from({ length: count }, () => read(pool, mutated(whole, next), mediaType, false)),
      );
      const odd = results.filter((result) => !result.ok && !ENDINGS.includes(result.failure));
      expect(odd).toEqual([]);
      expect(results.some(({ ok }) => !ok)).toBe(true);
      expect(pool.pids.length).toBeLessThanOrEqual(2);
      expect(await read(pool, await scene().jpeg().toBuffer(), 'image/jpeg')).toMatchObject({ ok: true });
    } finally {
      await pool.close();
    }
    expect([await readdir(folder), pool.pids]).toEqual([left, []]);
  });

  it('HEIC whose pixels are decoded, 120 of them', async () => {
    const pool = new ReaderPool({ readers: 2, queueLimit: 200 });
    const next = seeded(120);
    try {
      const results = await Promise.all(
        Array.from({ length: 120 }, () => read(pool, mutated(heicPhoto(), next), 'image/heic')),
      );
      expect(results.filter((result) => !result.ok && !ENDINGS.includes(result.failure))).toEqual([]);
      expect(results.some(({ ok }) => ok)).toBe(true);
    } finally {
      await pool.close();
    }
  });
});
