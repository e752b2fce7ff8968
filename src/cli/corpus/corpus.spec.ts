import { mkdir, mkdtemp, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import sharp from 'sharp';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { withExif } from '../../../tests/support/exif-writer.js';
import { measureCompression, measureReuse } from './measure-compression.js';
import { measureDetails } from './measure-details.js';
import { measureLabels } from './measure-labels.js';
import { measureBlur } from './measure-quality.js';
import { measureMetadata, measureOrientation } from './measure-reading.js';
import { distinct, photosIn, type SetPhoto } from './photo-set.js';
import { asMarkdown, share, type Measurement } from './table.js';

let folder: string;
let photos: SetPhoto[];
beforeAll(async () => {
  folder = await mkdtemp(join(tmpdir(), 'as-noted-corpus-'));
  await mkdir(join(folder, 'sides'));
  const across = await scene(3);
  await write(
    'room.jpg',
    withExif(await sharp(across).jpeg().toBuffer(), { make: 'Halde', takenAt: '2026:03:02 09:30:00' }),
  );
  await write('other.png', await scene(4));
  await write('label.png', await scene(5));
  await write('label.txt', Buffer.from(' (01)09521234543213\n'));
  await write('notes.md', Buffer.from('no photo'));
  // Tag 6 says: turn by 90 degrees to the right; so what is stored is turned to the left. Tag 3 is half a turn.
  for (const [tag, stored] of [
    [1, 0],
    [6, 270],
    [3, 180],
  ] as const) {
    const jpeg = await sharp(across).rotate(stored).jpeg({ quality: 95 }).toBuffer();
    await write(`sides/room_${tag}.jpg`, withExif(jpeg, { orientation: tag }));
  }
  photos = await photosIn(folder);
}, 20_000);
afterAll(() => rm(folder, { recursive: true, force: true }));

const write = (name: string, content: Uint8Array) => writeFile(join(folder, name), content);

/** Blocks of many sizes and levels, 1280 × 960. */
function scene(seed: number): Promise<Buffer> {
  let state = seed;
  const next = (below: number) => (state = (state * 1_103_515_245 + 12_345) % 2_147_483_648) % below;
  const [width, height] = [1280, 960];
  const pixels = Buffer.alloc(width * height, 128);
  for (let block = 0; block < 260; block += 1) {
    const [x, y, w, h, level] = [next(width), next(height), 10 + next(160), 10 + next(160), next(256)];
    for (let row = y; row < Math.min(height, y + h); row += 1) {
      pixels.fill(level, row * width + x, row * width + Math.min(width, x + w));
    }
  }
  return sharp(pixels, { raw: { width, height, channels: 1 } })
    .png()
    .toBuffer();
}

const row = ({ rows }: Measurement, name: string) => rows.find(([first]) => first === name)?.slice(1);

describe('the measurement of a folder of photos', { timeout: 30_000 }, () => {
  it('finds the photos by their content, with the words of a label beside its picture', () => {
    expect(photos.map(({ name, label }) => [name, label])).toEqual([
      ['label.png', '(01)09521234543213'],
      ['other.png', undefined],
      ['room.jpg', undefined],
      ['sides/room_1.jpg', undefined],
      ['sides/room_3.jpg', undefined],
      ['sides/room_6.jpg', undefined],
    ]);
  });

  it('counts what looks alike once, however it is stored, and labels not at all', () => {
    expect(distinct(photos).map(({ name }) => name)).toEqual(['other.png', 'room.jpg']);
  });

  it('reads metadata and turns what is stored on its side', () => {
    expect(row(measureMetadata(photos), 'room.jpg')).toEqual([
      'whole',
      '2026-03-02T09:30:00.000, zone unknown',
      'none recorded',
      '–',
      'Halde',
    ]);
    expect(row(measureOrientation(photos), 'sides/room_#.jpg')?.slice(0, 2)).toEqual(['3', '3 of 3 (100 %)']);
  });

  it('tells sharp photos from spoilt ones, double compression, and copies again', async () => {
    const scenes = distinct(photos);
    const blur = await measureBlur(scenes.map(({ picture }) => picture.made.grey));
    expect(row(blur, 'as taken')?.at(-1)).toBe('0 of 2 (0 %)');
    expect(row(blur, 'out of focus, sigma 3')?.at(-1)).toBe('2 of 2 (100 %)');
    const compression = await measureCompression(scenes);
    expect(row(compression, 'quality 60, then quality 85')).toEqual(['2 of 2 (100 %)']);
    const reuse = await measureReuse(scenes);
    expect(row(reuse, 'mirrored')?.[1]).toBe('2 of 2 (100 %)');
    expect(row(reuse, 'pairs of different photos')).toEqual(['0 of 1 (0 %)', '0 of 1 (0 %)', '0 of 1 (0 %)']);
  });

  it('says what is found again of a part, and takes no two photos for one', async () => {
    const details = await measureDetails(distinct(photos));
    expect(row(details, 'cut by half')?.at(-1)).toBe('2 of 2 (100 %)');
    expect(row(details, 'screenshot on black')?.at(-1)).toBe('2 of 2 (100 %)');
    expect(row(details, 'pairs of different photos')).toEqual(['0 of 1 (0 %)', '0 of 1 (0 %)', '0 of 1 (0 %)']);
  }, 30_000);

  it('says of a label picture without a code that none was found', async () => {
    const { rows } = await measureLabels(photos);
    expect(rows.map(([, effort, ...counts]) => [effort, ...counts])).toEqual([
      ['glance', '0 of 1 (0 %)', '0 of 1 (0 %)', '1 of 1 (100 %)'],
      ['search', '0 of 1 (0 %)', '0 of 1 (0 %)', '1 of 1 (100 %)'],
    ]);
  });

  it('prints tables', () => {
    const table = { title: 'T', says: 'S.', head: ['a', 'b'], rows: [['1', share(1, 3)]] };
    expect(asMarkdown(table)).toBe('### T\n\nS.\n\n| a | b |\n| --- | --- |\n| 1 | 1 of 3 (33 %) |\n');
    expect(share(0, 0)).toBe('0 of 0');
  });
});
