import { execFile } from 'node:child_process';
import { mkdir, mkdtemp, readdir, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { promisify } from 'node:util';
import sharp from 'sharp';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { orientationOf } from '../../src/evidence/domain/orientation.js';
import { sniffMediaType, SNIFF_BYTES } from '../../src/evidence/domain/media-type.js';
import { positionOf } from '../../src/evidence/domain/position.js';
import { ReaderPool } from '../../src/evidence/imaging/reader-pool.js';
import { projectRoot } from '../../src/platform/config/project-root.js';
import { missingOnDebian } from '../support/debian.js';
import { pngWithExif, webpWithExif, withExif, type ExifFields } from '../support/exif-writer.js';
import { heicPhoto } from '../support/heic-photo.js';

const missing = await missingOnDebian(['/usr/bin/exiftool'], ['libimage-exiftool-perl']);

/** One file as both readers see it. Fields that a reader does not find are absent. */
interface Seen {
  readonly taken?: string;
  readonly offset?: string;
  readonly subSec?: string;
  readonly digitized?: string;
  readonly make?: string;
  readonly model?: string;
  readonly software?: string;
  readonly orientation?: number;
  readonly latitude?: number;
  readonly longitude?: number;
  readonly width?: number;
  readonly height?: number;
}

let folder: string;
let pool: ReaderPool;

/**
 * ExifTool (Phil Harvey, as Debian ships it) as second reader of the same bytes. It never runs in the service: it is slower, and what it
 * reads it reads on its own.
 */
describe.skipIf(missing !== undefined)(`ExifTool reads the same${missing === undefined ? '' : `: ${missing}`}`, () => {
  beforeAll(async () => {
    folder = await mkdtemp(join(tmpdir(), 'as-noted-exiftool-'));
    pool = new ReaderPool({ readers: 2 });
  });
  afterAll(async () => {
    await pool.close();
    await rm(folder, { recursive: true, force: true });
  });

  it('of every photo of the sample claims', async () => {
    const samples = join(projectRoot(), 'sample-claims');
    const found = await readdir(samples, { recursive: true });
    const files = found.filter((file) => /\.(jpe?g|png|webp|heic)$/i.test(file)).map((file) => join(samples, file));
    expect(files.length).toBeGreaterThan(50);
    expect(await ours(files)).toEqual(await theirs(files));
  });

  it('of generated edge cases', async () => {
    const files = await Promise.all(
      (await edgeCases()).map(async ([name, content]) => {
        const file = join(folder, name);
        await writeFile(file, content);
        return file;
      }),
    );
    const [mine, second] = [await ours(files), await theirs(files)];
    expect(Object.keys(mine)).toHaveLength(files.length);
    expect(mine).toEqual(second);
  });
});

async function ours(files: readonly string[]): Promise<Record<string, Seen>> {
  const all = await Promise.all(
    files.map(async (file) => {
      const head = await promisify(execFile)('head', ['-c', String(SNIFF_BYTES), file], { encoding: 'buffer' });
      const sniffed = sniffMediaType(head.stdout);
      if (!sniffed.ok) throw new Error(`${file}: ${sniffed.detail}`);
      const into = await mkdtemp(join(folder, 'read-'));
      const { reading } = await pool.read({ file, mediaType: sniffed.mediaType, into, sizes: [256], heic: true });
      if (!reading) throw new Error(`${file} has no reading`);
      const place = positionOf(reading.gps);
      const { times, camera, stored } = reading;
      return [
        file,
        tidy({
          taken: times.original,
          offset: times.originalOffset,
          subSec: times.originalSubSec,
          digitized: times.digitized,
          make: camera.make,
          model: camera.model,
          software: camera.software,
          orientation: orientationOf(reading.orientation).tag,
          ...(typeof place === 'string' ? {} : { latitude: place.latitude, longitude: place.longitude }),
          width: stored.width,
          height: stored.height,
        }),
      ] as const;
    }),
  );
  return Object.fromEntries(all);
}

async function theirs(files: readonly string[]): Promise<Record<string, Seen>> {
  const tags = [
    'EXIF:DateTimeOriginal',
    'EXIF:OffsetTimeOriginal',
    'EXIF:SubSecTimeOriginal',
    'EXIF:CreateDate',
    'IFD0:Make',
    'IFD0:Model',
    'IFD0:Software',
    'IFD0:Orientation',
    'Composite:GPSLatitude',
    'Composite:GPSLongitude',
    'File:ImageWidth',
    'File:ImageHeight',
    'PNG:ImageWidth',
    'PNG:ImageHeight',
    'RIFF:ImageWidth',
    'RIFF:ImageHeight',
    'Meta:ImageWidth',
    'Meta:ImageHeight',
    'Rotation',
  ];
  const args = ['-j', '-n', '-q', ...tags.map((tag) => `-${tag}`), ...files];
  const { stdout } = await promisify(execFile)('/usr/bin/exiftool', args, { maxBuffer: 1e8 });
  const read = JSON.parse(stdout) as readonly Record<string, unknown>[];
  return Object.fromEntries(
    read.map((found) => {
      const file = String(found['SourceFile']);
      const isHeic = file.endsWith('.heic');
      // ExifTool gives the size before the container's own turn, and the turn beside it.
      const onItsSide = isHeic && Number(found['Rotation']) % 180 === 90;
      const place = [found['GPSLatitude'], found['GPSLongitude']];
      const [latitude, longitude] = place;
      const isPlace =
        typeof latitude === 'number' &&
        typeof longitude === 'number' &&
        Math.abs(latitude) <= 90 &&
        Math.abs(longitude) <= 180 &&
        // Our reading counts 0, 0 as no place.
        (latitude !== 0 || longitude !== 0);
      return [
        file,
        tidy({
          taken: found['DateTimeOriginal'],
          offset: found['OffsetTimeOriginal'],
          subSec: found['SubSecTimeOriginal'],
          digitized: found['CreateDate'],
          make: found['Make'],
          model: found['Model'],
          software: found['Software'],
          // The container turns a HEIC; its Exif orientation is read by ExifTool and not applied by us.
          orientation: isHeic ? 1 : orientationOf(found['Orientation']).tag,
          ...(isPlace ? { latitude, longitude } : {}),
          width: found[onItsSide ? 'ImageHeight' : 'ImageWidth'],
          height: found[onItsSide ? 'ImageWidth' : 'ImageHeight'],
        }),
      ];
    }),
  );
}

/** Text as text, which ExifTool writes as a number where it looks like one ("3.1"), and numbers rounded to what counts. */
function tidy(fields: Readonly<Record<keyof Seen, unknown>> | Readonly<Record<string, unknown>>): Seen {
  const kept = Object.entries(fields).flatMap(([name, value]) => {
    if (value === undefined || value === null || value === '') return [];
    if (name === 'latitude' || name === 'longitude') return [[name, Math.round(Number(value) * 1e5) / 1e5]];
    if (['orientation', 'width', 'height'].includes(name)) return [[name, Number(value)]];
    if (typeof value !== 'string' && typeof value !== 'number') return [];
    const text = `${value}`.replaceAll('\0', '').trim();
    return text === '' ? [] : [[name, name === 'subSec' ? String(Number(text)) : text]];
  });
  return Object.fromEntries(kept) as Seen;
}

async function edgeCases(): Promise<(readonly [name: string, content: Buffer])[]> {
  const scene = () => sharp({ create: { width: 96, height: 64, channels: 3, background: '#667788' } });
  const [jpeg, png, webp] = await Promise.all([
    scene().jpeg().toBuffer(),
    scene().png().toBuffer(),
    scene().webp().toBuffer(),
  ]);
  const full: ExifFields = {
    make: 'Halde',
    model: 'Halde 3',
    software: '3.1',
    takenAt: '2025:03:09 14:05:07',
    takenOffset: '-05:00',
    takenSubSec: '420',
    gps: { latitude: 40.4462, longitude: -79.982267, errorMetres: 4.5 },
  };
  const variants: Readonly<Record<string, ExifFields>> = {
    full,
    'full-big': { ...full, byteOrder: 'big' },
    'no-offset': { takenAt: '2025:03:09 14:05:07' },
    digitized: { digitizedAt: '2025:03:09 14:05:07', digitizedOffset: '+09:00' },
    changed: { changedAt: '2025:03:10 00:00:00' },
    south: { gps: { latitude: -33.8688, longitude: 151.2093 } },
    west: { gps: { latitude: 0.5, longitude: -0.25 } },
    equator: { gps: { latitude: 0, longitude: 11.5 } },
    nowhere: { gps: { latitude: 0, longitude: 0 } },
    'maker-note': { ...full, makerNote: Buffer.alloc(60_000, 7) },
    nothing: {},
    ...Object.fromEntries([1, 2, 3, 4, 5, 6, 7, 8].map((orientation) => [`turned-${orientation}`, { orientation }])),
  };
  const made = Object.entries(variants).flatMap(([name, fields]) => [
    [`${name}.jpg`, withExif(jpeg, fields)] as const,
    [`${name}.png`, pngWithExif(png, fields)] as const,
    [`${name}.webp`, webpWithExif(webp, fields)] as const,
  ]);
  await mkdir(folder, { recursive: true });
  return [...made, ['plain.jpg', jpeg], ['plain.png', png], ['plain.webp', webp], ['phone.heic', heicPhoto()]];
}
