import { execFile } from 'node:child_process';
import { mkdtemp, readFile, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { promisify } from 'node:util';
import sharp from 'sharp';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { blackPng, loopingHeic, lyingPng } from '../../../tests/support/broken-photos.js';
import { pngWithExif, webpWithExif, withExif, type ExifFields } from '../../../tests/support/exif-writer.js';
import type { PhotoMediaType } from '../domain/media-type.js';
import { photoReading } from '../domain/photo-reading.js';
import type { ReadResult } from './reader-messages.js';
import { ReaderPool } from './reader-pool.js';
import { nodeArgumentsFor } from './unbuilt-modules.js';

let folder: string;
let pool: ReaderPool;
let files = 0;

beforeAll(async () => {
  folder = await mkdtemp(join(tmpdir(), 'as-noted-reader-'));
  pool = new ReaderPool({ readers: 2 });
});
afterAll(async () => {
  await pool.close();
  await rm(folder, { recursive: true, force: true });
});

async function order(content: Uint8Array, mediaType: PhotoMediaType, sizes: readonly number[] = [256, 1024]) {
  files += 1;
  const into = await mkdtemp(join(folder, `${files}-`));
  const file = join(into, 'original');
  await writeFile(file, content);
  return { file, mediaType, into, sizes };
}

async function read(content: Uint8Array, mediaType: PhotoMediaType = 'image/jpeg', sizes?: readonly number[]) {
  return pool.read(await order(content, mediaType, sizes));
}

function done(result: ReadResult): Extract<ReadResult, { ok: true }> {
  if (!result.ok) throw new Error(`${result.failure}: ${result.detail}`);
  return result;
}

const scene = (width = 320, height = 200) =>
  sharp({
    create: { width, height, channels: 3, background: '#8899aa', noise: { type: 'gaussian', mean: 128, sigma: 40 } },
  });

const FULL: ExifFields = {
  orientation: 1,
  make: 'Halde',
  model: 'Halde 3',
  software: '3.1',
  takenAt: '2025:03:09 14:05:07',
  takenOffset: '-05:00',
  takenSubSec: '042',
  gps: { latitude: 40.4462, longitude: -79.982267, errorMetres: 4.5 },
  makerNote: Buffer.alloc(2000, 7),
  imageUniqueId: 'UNIQUE-0001',
  ownerName: 'OWNER NAME',
  bodySerial: 'SERIAL-0001',
};

const KNOWN = { receivedAt: '2025-03-10T00:00:00Z', mediaType: 'image/jpeg', seenOn: 0 } as const;

describe('metadata', () => {
  it.each(['little', 'big'] as const)('comes through in %s-endian order', async (byteOrder) => {
    const { reading } = done(await read(withExif(await scene().jpeg().toBuffer(), { ...FULL, byteOrder })));
    const made = photoReading(reading, KNOWN);
    expect(made.capture).toMatchObject({ capturedAt: '2025-03-09T19:05:07.042Z', zoneUnknown: false });
    expect(made.camera).toEqual({ make: 'Halde', model: 'Halde 3', software: '3.1' });
    const { position } = made;
    if (typeof position === 'string') throw new Error(position);
    expect(position.latitude).toBeCloseTo(40.4462, 6);
    expect(position.longitude).toBeCloseTo(-79.982267, 6);
    expect(position.errorMetres).toBe(4.5);
  });

  it.each([
    ['image/png', () => scene().png().toBuffer(), pngWithExif],
    ['image/webp', () => scene().webp().toBuffer(), webpWithExif],
  ] as const)('comes through in %s', async (mediaType, make, withMetadata) => {
    const { reading } = done(await read(withMetadata(await make(), FULL), mediaType));
    expect(photoReading(reading, { ...KNOWN, mediaType })).toMatchObject({
      capture: { capturedAt: '2025-03-09T19:05:07.042Z' },
      camera: { make: 'Halde' },
    });
  });

  it('refuses a position with a zero denominator and keeps the photo', async () => {
    const gps = {
      latitudeRationals: [
        [40, 1],
        [26, 0],
        [0, 1],
      ] as const,
      longitude: 8,
    };
    const { reading } = done(await read(withExif(await scene().jpeg().toBuffer(), { gps })));
    expect(photoReading(reading, KNOWN).position).toBe('unreadable');
  });

  it('skips an unknown value type (129, the UTF-8 type of Exif 3.0) and keeps the rest', async () => {
    const more = [{ tag: 0xa436, type: 129, count: 4, bytes: Buffer.from('abc\0') }];
    const { reading } = done(await read(withExif(await scene().jpeg().toBuffer(), { ...FULL, more })));
    expect(photoReading(reading, KNOWN).capture?.capturedAt).toBe('2025-03-09T19:05:07.042Z');
  });

  it('is the same whatever the time zone of the server', async () => {
    const { file, into } = await order(
      withExif(await scene().jpeg().toBuffer(), { ...FULL, takenOffset: '+00:00' }),
      'image/jpeg',
    );
    const script = `
      import { readPhoto } from ${JSON.stringify(new URL('./read-photo.ts', import.meta.url).href)};
      import { photoReading } from ${JSON.stringify(new URL('../domain/photo-reading.ts', import.meta.url).href)};
      const result = await readPhoto(${JSON.stringify({ file, mediaType: 'image/jpeg', into, sizes: [256] })});
      const reading = photoReading(result.reading, ${JSON.stringify(KNOWN)});
      console.log(JSON.stringify({ server: new Date(2025, 0, 1).toISOString(), capture: reading.capture, times: reading.recordedTimes }));`;
    const under = async (TZ: string) => {
      const args = [...nodeArgumentsFor(new URL('file:///script.ts')), '--input-type=module', '-e', script];
      const { stdout } = await promisify(execFile)(process.execPath, args, { env: { TZ } });
      return JSON.parse(stdout) as { server: string; capture: object; times: object };
    };
    const [utc, tokyo] = await Promise.all([under('UTC'), under('Asia/Tokyo')]);
    expect(utc.server).not.toBe(tokyo.server);
    expect(utc.capture).toMatchObject({ capturedAt: '2025-03-09T14:05:07.042Z', zoneUnknown: false });
    expect({ ...tokyo, server: '' }).toEqual({ ...utc, server: '' });
  });
});

/** Where row 0 and column 0 of the stored picture lie when it is looked at: the definition of the tag in TIFF 6.0. */
const SIDES: Readonly<
  Record<number, (row: number, column: number, width: number, height: number) => readonly [x: number, y: number]>
> = {
  1: (r, c) => [c, r],
  2: (r, c, w) => [w - 1 - c, r],
  3: (r, c, w, h) => [w - 1 - c, h - 1 - r],
  4: (r, c, _w, h) => [c, h - 1 - r],
  5: (r, c) => [r, c],
  6: (r, c, w) => [w - 1 - r, c],
  7: (r, c, w, h) => [w - 1 - r, h - 1 - c],
  8: (r, c, _w, h) => [r, h - 1 - c],
};

describe('orientation', () => {
  const WIDTH = 96;
  const HEIGHT = 64;
  const corner = (x: number, y: number) =>
    y < HEIGHT / 2 ? (x < WIDTH / 2 ? [255, 0, 0] : [0, 255, 0]) : x < WIDTH / 2 ? [0, 0, 255] : [255, 255, 0];

  it.each(Object.keys(SIDES).map(Number))('%i is upright in the renditions', async (tag) => {
    const [storedWidth, storedHeight] = tag >= 5 ? [HEIGHT, WIDTH] : [WIDTH, HEIGHT];
    const pixels = Buffer.alloc(storedWidth * storedHeight * 3);
    for (let r = 0; r < storedHeight; r += 1) {
      for (let c = 0; c < storedWidth; c += 1) {
        const [x, y] = SIDES[tag]?.(r, c, WIDTH, HEIGHT) ?? [0, 0];
        pixels.set(corner(x, y), (r * storedWidth + c) * 3);
      }
    }
    const raw = { width: storedWidth, height: storedHeight, channels: 3 } as const;
    const jpeg = await sharp(pixels, { raw }).jpeg({ quality: 95, chromaSubsampling: '4:4:4' }).toBuffer();
    const result = done(await read(withExif(jpeg, { orientation: tag })));
    expect(result.reading).toMatchObject({
      stored: { width: storedWidth, height: storedHeight },
      upright: { width: WIDTH, height: HEIGHT },
    });
    const rendition = result.renditions[0];
    expect(rendition).toMatchObject({ width: WIDTH, height: HEIGHT });
    const shown = await sharp(rendition?.file).raw().toBuffer({ resolveWithObject: true });
    for (const [x, y] of [
      [20, 15],
      [76, 15],
      [20, 49],
      [76, 49],
    ] as const) {
      const at = (y * WIDTH + x) * shown.info.channels;
      const seen = [...shown.data.subarray(at, at + 3)];
      corner(x, y).forEach((level, channel) => expect(Math.abs((seen[channel] ?? 0) - level)).toBeLessThan(40));
    }
  });
});

describe('renditions', () => {
  it('hold nothing of the original but its picture', async () => {
    const jpeg = withExif(await scene().withIccProfile('p3').jpeg().toBuffer(), FULL);
    const { renditions } = done(await read(jpeg));
    expect(renditions.map(({ size }) => size).sort((a, b) => a - b)).toEqual([256, 1024]);
    for (const { file } of renditions) {
      const content = await readFile(file);
      const found = await sharp(content).metadata();
      expect(found).toMatchObject({ format: 'webp', space: 'srgb' });
      expect([found.exif, found.xmp, found.icc, found.iptc, found.orientation]).toEqual(Array.from({ length: 5 }));
      for (const secret of ['EXIF', 'ICCP', 'Halde', 'UNIQUE-0001', 'OWNER NAME', 'SERIAL-0001']) {
        expect(content.includes(secret)).toBe(false);
      }
    }
  });

  it('fit inside their size and are never enlarged', async () => {
    const { renditions } = done(await read(await scene(640, 480).jpeg().toBuffer(), 'image/jpeg', [256, 1024, 2048]));
    expect(renditions.map(({ size, width, height }) => [size, width, height])).toEqual([
      [2048, 640, 480],
      [1024, 640, 480],
      [256, 256, 192],
    ]);
  });

  it('convert a wide-gamut photo to what sharp converts it to directly', async () => {
    const flat = sharp({ create: { width: 64, height: 64, channels: 3, background: '#c06030' } });
    const jpeg = await flat.withIccProfile('p3').jpeg({ quality: 100 }).toBuffer();
    const { renditions } = done(await read(jpeg));
    const levels = async (input: Buffer) => (await sharp(input).toColourspace('srgb').raw().toBuffer()).subarray(0, 3);
    const made = await levels(await readFile(renditions[0]?.file ?? ''));
    const direct = await levels(jpeg);
    made.forEach((level, channel) => expect(Math.abs(level - (direct[channel] ?? 0))).toBeLessThanOrEqual(6));
  });

  it.each([
    ['grey', () => scene().greyscale().jpeg().toBuffer(), 'image/jpeg'],
    ['CMYK', () => scene().toColourspace('cmyk').jpeg().toBuffer(), 'image/jpeg'],
    ['transparent', () => scene().ensureAlpha(0.5).png().toBuffer(), 'image/png'],
    ['16-bit', () => scene().toColourspace('rgb16').png().toBuffer(), 'image/png'],
    ['palette', () => scene().png({ palette: true }).toBuffer(), 'image/png'],
  ] as const)('are made of a %s picture', async (_kind, make, mediaType) => {
    const { renditions, reading } = done(await read(await make(), mediaType));
    expect(renditions.map(({ size }) => size)).toEqual([1024, 256]);
    expect(reading.truncated).toBe(false);
  });
});

describe('bad input', () => {
  it('does not hang on the 80 bytes of a looping HEIC', async () => {
    expect(await read(loopingHeic(), 'image/heic')).toMatchObject({ ok: false, failure: 'damaged' });
  });

  it.each([
    ['text', Buffer.from('this is a photo, honestly')],
    ['an SVG', Buffer.from('<svg xmlns="http://www.w3.org/2000/svg" width="10" height="10"/>')],
    ['nothing', Buffer.alloc(0)],
  ])('calls %s damaged', async (_what, content) => {
    expect(await read(content)).toMatchObject({ ok: false, failure: 'damaged' });
  });

  it('reads no format but the four, even when the bytes are a good picture', async () => {
    const [gif, tiff] = await Promise.all([scene().gif().toBuffer(), scene().tiff().toBuffer()]);
    for (const content of [gif, tiff]) expect(await read(content)).toMatchObject({ ok: false, failure: 'damaged' });
  });

  it('shows what there is of a truncated JPEG and marks it', async () => {
    const jpeg = await scene(800, 600).jpeg().toBuffer();
    const result = done(await read(jpeg.subarray(0, Math.floor(jpeg.length * 0.6))));
    expect(result.reading).toMatchObject({ truncated: true, stored: { width: 800, height: 600 } });
    expect(result.renditions).toHaveLength(2);
  });

  it.each([
    ['900 megapixels in 110 KB', () => blackPng(30_000, 30_000)],
    ['a lying header', () => lyingPng(60_000, 60_000)],
    ['2,000,000 × 49', () => blackPng(2_000_000, 49)],
  ])('refuses %s without decoding it', async (_what, make) => {
    const watched = new ReaderPool({ readers: 1 });
    try {
      await watched.read(await order(await scene().png().toBuffer(), 'image/png'));
      const before = await peakMemoryKb(watched.pids[0]);
      expect(await watched.read(await order(make(), 'image/png'))).toMatchObject({
        ok: false,
        failure: 'too many pixels',
      });
      expect((await peakMemoryKb(watched.pids[0])) - before).toBeLessThan(64 * 1024);
    } finally {
      await watched.close();
    }
  });

  it('stands 200 photos with damaged bytes', { timeout: 60_000 }, async () => {
    const jpeg = withExif(await scene(64, 48).jpeg().toBuffer(), FULL);
    let seed = 20_260_309;
    const next = (below: number) => (seed = (seed * 1_103_515_245 + 12_345) % 2_147_483_648) % below;
    const results = await Promise.all(
      Array.from({ length: 200 }, async () => {
        const broken = Buffer.from(jpeg);
        for (let hit = 0; hit < 12; hit += 1) broken[2 + next(broken.length - 2)] = next(256);
        return read(broken);
      }),
    );
    expect(
      results.filter((result) => !result.ok && result.failure !== 'damaged' && result.failure !== 'too many pixels'),
    ).toEqual([]);
  });
});

/** High-water mark of resident memory, from /proc (Linux); 0 elsewhere, where only the refusal itself is checked. */
async function peakMemoryKb(pid: number | undefined): Promise<number> {
  if (process.platform !== 'linux') return 0;
  const status = await readFile(`/proc/${pid}/status`, 'utf8');
  return Number(/VmHWM:\s+(\d+) kB/.exec(status)?.[1]);
}
