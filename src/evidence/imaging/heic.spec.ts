import { execFile } from 'node:child_process';
import { mkdtemp, readFile, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { promisify } from 'node:util';
import sharp from 'sharp';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { HEIC_QUARTERS, heicClaiming, heicPhoto } from '../../../tests/support/heic-photo.js';
import { photoReading } from '../domain/photo-reading.js';
import type { ReadOrder } from './reader-messages.js';
import { ReaderPool } from './reader-pool.js';
import { nodeArgumentsFor } from './unbuilt-modules.js';

let folder: string;
let pool: ReaderPool;

beforeAll(async () => {
  folder = await mkdtemp(join(tmpdir(), 'as-noted-heic-'));
  pool = new ReaderPool({ readers: 1 });
});
afterAll(async () => {
  await pool.close();
  await rm(folder, { recursive: true, force: true });
});

async function order(content: Uint8Array, heic = true): Promise<ReadOrder> {
  const into = await mkdtemp(join(folder, 'photo-'));
  const file = join(into, 'original');
  await writeFile(file, content);
  return { file, mediaType: 'image/heic', into, sizes: [256], heic };
}

describe('a HEIC', () => {
  it('is shown upright, turned once, in sRGB and without metadata', async () => {
    const result = await pool.read(await order(heicPhoto()));
    if (!result.ok) throw new Error(result.detail);
    const [rendition] = result.renditions;
    expect(rendition).toMatchObject({ size: 256, width: 96, height: 64 });
    const content = await readFile(rendition?.file ?? '');
    const found = await sharp(content).metadata();
    expect([found.exif, found.xmp, found.icc, found.orientation]).toEqual(Array.from({ length: 4 }));
    const { data, info } = await sharp(content).raw().toBuffer({ resolveWithObject: true });
    const middles = [
      [24, 16],
      [72, 16],
      [24, 48],
      [72, 48],
    ] as const;
    middles.forEach(([x, y], quarter) => {
      const at = (y * info.width + x) * info.channels;
      HEIC_QUARTERS[quarter]?.forEach((level, channel) =>
        // Left in Display P3, the red quarter would read about (204, 62, 54).
        expect(Math.abs((data[at + channel] ?? 0) - level)).toBeLessThan(14),
      );
    });
  });

  it('tells its time, place and camera', async () => {
    const { reading } = await pool.read(await order(heicPhoto()));
    if (!reading) throw new Error('no reading');
    const made = photoReading(reading, { receivedAt: '2026-03-02T09:00:00Z', mediaType: 'image/heic', seenOn: 0 });
    expect(made).toMatchObject({
      width: 96,
      height: 64,
      orientation: 1,
      capture: { capturedAt: '2026-03-02T08:30:00.000Z' },
      camera: { make: 'Halde', model: 'Halde 3' },
      position: { latitude: expect.closeTo(48.137154, 5) as number },
    });
  });

  it('has a reading and a sentence instead of pictures where the decoder is turned off', async () => {
    const result = await pool.read(await order(heicPhoto(), false));
    expect(result).toMatchObject({
      ok: false,
      failure: 'not shown',
      detail: 'The original is kept, but HEIC photos cannot be shown here. Send a JPEG of the same thing too.',
      reading: { stored: { width: 96, height: 64 }, truncated: false },
    });
  });

  it('has the same where the decoder is not installed', async () => {
    const work = await order(heicPhoto());
    const script = `
      import { registerHooks } from 'node:module';
      registerHooks({ resolve(specifier, context, next) {
        return next(specifier.startsWith('libheif-js') ? 'no-such-package' : specifier, context);
      } });
      const { readPhoto } = await import(${JSON.stringify(new URL('./read-photo.ts', import.meta.url).href)});
      console.log(JSON.stringify(await readPhoto(${JSON.stringify(work)})));`;
    const args = [...nodeArgumentsFor(new URL('file:///script.ts')), '--input-type=module', '-e', script];
    const { stdout } = await promisify(execFile)(process.execPath, args, { env: {} });
    expect(JSON.parse(stdout)).toMatchObject({ failure: 'not shown', reading: { stored: { width: 96 } } });
  });

  it('of more than 60 megapixels is kept and not decoded', async () => {
    const result = await pool.read(await order(heicClaiming(10_000, 8_000)));
    expect(result).toMatchObject({
      ok: false,
      failure: 'not shown',
      detail: expect.stringContaining('60 megapixels') as string,
    });
  });

  it('never shares its reader with another photo, because the decoder keeps its memory', async () => {
    await pool.read(await order(heicPhoto()));
    const [before] = pool.pids;
    await pool.read(await order(heicPhoto()));
    expect(pool.pids).not.toContain(before);
  });

  it('with AVIF inside is not read, whatever it is called', async () => {
    const avif = await sharp({ create: { width: 32, height: 32, channels: 3, background: '#808080' } })
      .avif({ effort: 0 })
      .toBuffer();
    expect(await pool.read(await order(avif))).toMatchObject({ ok: false, failure: 'not shown' });
  });

  it('that is cut off or altered ends with a sentence', { timeout: 60_000 }, async () => {
    const whole = heicPhoto();
    let seed = 20_260_302;
    const next = (below: number) => (seed = (seed * 1_103_515_245 + 12_345) % 2_147_483_648) % below;
    const broken = Array.from({ length: 12 }, (_, n) => {
      if (n % 3 === 0) return whole.subarray(0, 20 + next(whole.length - 20));
      const copy = Buffer.from(whole);
      for (let hit = 0; hit < 6; hit += 1) copy[12 + next(copy.length - 12)] = next(256);
      return copy;
    });
    for (const content of broken) {
      const result = await pool.read(await order(content));
      expect(result.ok || ['damaged', 'too many pixels', 'not shown'].includes(result.failure)).toBe(true);
    }
  });
});
