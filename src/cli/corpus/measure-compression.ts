import sharp, { type Sharp } from 'sharp';
import { FILE_LIMITS } from '../../evidence/domain/file-doubts.js';
import { fingerprintDistance } from '../../evidence/domain/fingerprint.js';
import { jpegHistory } from '../../evidence/domain/jpeg-history.js';
import { compareThumbnail } from '../../evidence/imaging/compare-thumbnail.js';
import type { RawPicture } from '../../evidence/imaging/renditions.js';
import { fingerprintOf, usable, type SetPhoto, type SetPicture } from './photo-set.js';
import { share, type Measurement } from './table.js';

type Pictured = SetPhoto & { readonly picture: SetPicture };

const CHAINS = [
  [50],
  [75],
  [85],
  [92],
  [95],
  [60, 85],
  [75, 92],
  [75, 95],
  [85, 92],
  [85, 75],
  [92, 85],
  [92, 75],
  [85, 85],
];

/**
 * Copies compressed once and twice. They are made smaller first, which takes away what an earlier compression left.
 * @param photos decoded
 */
export async function measureCompression(photos: readonly Pictured[]): Promise<Measurement> {
  const rows: string[][] = [];
  for (const chain of CHAINS) {
    let [flagged, measured] = [0, 0];
    for (const { picture } of photos) {
      const { raggedness } = jpegHistory(await compressed(picture.made.largest, chain));
      if (raggedness === undefined) continue;
      measured += 1;
      if (raggedness > FILE_LIMITS.raggedness) flagged += 1;
    }
    rows.push([chain.map((quality) => `quality ${quality}`).join(', then '), share(flagged, measured)]);
  }
  return {
    title: 'Compressed twice',
    says: `Copies at 3/4 of the size, compressed by libjpeg: how many have a raggedness above ${FILE_LIMITS.raggedness}. A second compression at the same or a lower quality is hardly seen.`,
    head: ['copies', 'flagged'],
    rows,
  };
}

async function compressed({ content, info }: RawPicture, chain: readonly number[]): Promise<Buffer> {
  const { width, height, channels } = info;
  let image = sharp(content, { raw: { width, height, channels } })
    .resize(Math.round(width * 0.75))
    .removeAlpha();
  let jpeg = Buffer.alloc(0);
  for (const quality of chain) {
    jpeg = await image.jpeg({ quality }).toBuffer();
    image = sharp(jpeg);
  }
  return jpeg;
}

/** Previews against their own photos and against all others. */
export async function measureThumbnails(
  photos: readonly SetPhoto[],
  others: readonly Pictured[],
): Promise<Measurement> {
  const own: number[] = [];
  const foreign: number[] = [];
  for (const { facts, picture, label } of photos) {
    if (!facts?.thumbnail || !picture || label !== undefined) continue;
    const reading = await compareThumbnail(facts.thumbnail, picture.made.grey);
    if (reading?.distance !== undefined) own.push(reading.distance);
    for (const other of others) {
      const alike = picture.fingerprint.turned.some(
        (turned) => fingerprintDistance(turned, other.picture.fingerprint.hex) <= 90,
      );
      const crossed = alike ? undefined : await compareThumbnail(facts.thumbnail, other.picture.made.grey);
      if (crossed?.distance !== undefined) foreign.push(crossed.distance);
    }
  }
  const over = (distances: readonly number[]) =>
    distances.filter((distance) => distance > FILE_LIMITS.thumbnailDistance).length;
  const range = (distances: readonly number[]) =>
    distances.length === 0 ? '–' : `${Math.min(...distances)} to ${Math.max(...distances)}`;
  return {
    title: 'Previews',
    says: `The preview inside a file against a photo: how many differ by more than ${FILE_LIMITS.thumbnailDistance} of 256 bits.`,
    head: ['previews', 'flagged', 'bits'],
    rows: [
      ['against their own photo', share(over(own), own.length), range(own)],
      ['against other photos', share(over(foreign), foreign.length), range(foreign)],
    ],
  };
}

/** What people and messengers do to a photo before they send it again. */
const CHANGES: readonly (readonly [name: string, change: (image: Sharp, w: number, h: number) => Sharp])[] = [
  ['quality 50', (image) => image.jpeg({ quality: 50 })],
  ['quality 20', (image) => image.jpeg({ quality: 20 })],
  ['half the size', (image, w) => image.resize(Math.round(w / 2)).jpeg({ quality: 85 })],
  ['a quarter of the size', (image, w) => image.resize(Math.round(w / 4)).jpeg({ quality: 85 })],
  ['as WebP', (image) => image.webp({ quality: 70 })],
  ['grey', (image) => image.greyscale().jpeg({ quality: 85 })],
  ['20 % brighter', (image) => image.linear(1.2, 0).jpeg({ quality: 85 })],
  ['20 % darker', (image) => image.linear(0.8, 0).jpeg({ quality: 85 })],
  ['cut by 2 %', (image, w, h) => cut(image, w, h, 0.02)],
  ['cut by 5 %', (image, w, h) => cut(image, w, h, 0.05)],
  ['cut by 10 %', (image, w, h) => cut(image, w, h, 0.1)],
  ['turned by 90°', (image) => image.rotate(90).jpeg({ quality: 85 })],
  ['turned by 180°', (image) => image.rotate(180).jpeg({ quality: 85 })],
  ['mirrored', (image) => image.flop().jpeg({ quality: 85 })],
];

function cut(image: Sharp, w: number, h: number, part: number): Sharp {
  const [left, top] = [Math.round((w * part) / 2), Math.round((h * part) / 2)];
  return image.extract({ left, top, width: w - 2 * left, height: h - 2 * top }).jpeg({ quality: 85 });
}

/** Whether fingerprints find changed copies again, and different photos apart. */
export async function measureReuse(photos: readonly Pictured[]): Promise<Measurement> {
  const able = photos.filter(({ picture }) => usable(picture.fingerprint));
  const limits = [31, 60, 70];
  const row = (name: string, distances: readonly number[]) => [
    name,
    ...limits.map((limit) => share(distances.filter((distance) => distance <= limit).length, distances.length)),
  ];
  const rows: string[][] = [];
  for (const [name, change] of CHANGES) {
    const distances: number[] = [];
    for (const { picture } of able) {
      const { content, info } = picture.made.largest;
      const { width, height, channels } = info;
      const changed = await change(
        sharp(content, { raw: { width, height, channels } }).removeAlpha(),
        width,
        height,
      ).toBuffer();
      const { data, info: size } = await sharp(changed)
        .greyscale()
        .toColourspace('b-w')
        .raw()
        .toBuffer({ resolveWithObject: true });
      const found = await fingerprintOf({ pixels: data, width: size.width, height: size.height });
      distances.push(Math.min(...found.turned.map((turned) => fingerprintDistance(turned, picture.fingerprint.hex))));
    }
    rows.push(row(name, distances));
  }
  const strangers = able.flatMap(({ picture: one }, at) =>
    able
      .slice(at + 1)
      .map(({ picture: other }) =>
        Math.min(...one.fingerprint.turned.map((turned) => fingerprintDistance(turned, other.fingerprint.hex))),
      ),
  );
  rows.push(row('pairs of different photos', strangers));
  return {
    title: 'Found again',
    says: 'Changed copies whose fingerprint is within so many of 256 bits of the photo’s, all eight turns tried.',
    head: ['copies', ...limits.map((limit) => `≤ ${limit}`)],
    rows,
  };
}
