import { globSync, readFileSync } from 'node:fs';
import { basename, join } from 'node:path';
import sharp, { type Sharp } from 'sharp';
import { beforeAll, describe, expect, it } from 'vitest';
import { isFeatureMatch, matchFeatures } from '../domain/features-match.js';
import { featuresOf, type Features } from '../domain/features.js';
import { fingerprintDistance, USABLE_QUALITY } from '../domain/fingerprint.js';
import type { PhotoFingerprint } from '../domain/photo-fingerprint.js';
import { REUSE_LIMITS } from '../domain/reuse-bands.js';
import { fingerprintPhoto, lumaForFeatures } from './fingerprint-photo.js';

// Longer than most: some hundred and fifty copies of photos are made and looked at.

interface Seen {
  readonly name: string;
  readonly content: Buffer;
  readonly print: PhotoFingerprint;
  /** Taken when they are first asked for: they are most of the work. */
  features(): Promise<Features>;
}

async function see(name: string, content: Buffer): Promise<Seen> {
  const { data, info } = await sharp(content).removeAlpha().raw().toBuffer({ resolveWithObject: true });
  const picture = { content: data, info: { width: info.width, height: info.height, channels: info.channels } };
  const print = await fingerprintPhoto(picture);
  if (!print) throw new Error(`${name} is too small`);
  let taken: Promise<Features> | undefined;
  const features = () => (taken ??= lumaForFeatures(picture).then(featuresOf));
  return { name, content, print, features };
}

function distance(one: PhotoFingerprint, other: PhotoFingerprint): number {
  const asked = [...one.turned, ...(one.box ? [one.box.hex] : [])];
  const kept = [other.hex, ...(other.box ? [other.box.hex] : [])];
  return Math.min(...asked.flatMap((hex) => kept.map((each) => fingerprintDistance(hex, each))));
}

/** Sample photos, one of each kind: those of one kind show like things from the same place and do look alike. */
const SHOWS =
  /(rail-close|foam-close|desk-wide|thread-close|receipt|deck-wide|motor-wide|packing-list|tide-line|handset)\.jpg$/;
const samples = join(import.meta.dirname, '../../../sample-claims');

let photos: Seen[];
beforeAll(async () => {
  const files = globSync('*/photos/*.jpg', { cwd: samples }).toSorted();
  const kinds = new Map(files.filter((file) => SHOWS.test(file)).map((file) => [basename(file).slice(3), file]));
  photos = [];
  for (const [kind, file] of kinds) {
    // Smaller than phones take them, so that some two hundred pictures are made in a few seconds.
    const content = await sharp(readFileSync(join(samples, file)))
      .resize(800, 800, { fit: 'inside' })
      .png()
      .toBuffer();
    photos.push(await see(kind, content));
  }
  photos = photos.filter(({ print }) => print.quality >= USABLE_QUALITY);
}, 60_000);

/** Every other one, where each copy takes long. */
const some = (): Seen[] => photos.filter((_photo, at) => at % 2 === 0);

async function inDetail(one: Seen, other: Seen): Promise<boolean> {
  return isFeatureMatch(matchFeatures(await one.features(), await other.features()));
}

type Change = (photo: Sharp, width: number, height: number) => Sharp;
const MIDDLE = (left: number) => (photo: Sharp, width: number, height: number) =>
  photo.extract({
    left: Math.round((width * (1 - left)) / 2),
    top: Math.round((height * (1 - left)) / 2),
    width: Math.round(width * left),
    height: Math.round(height * left),
  });

async function copies(change: Change, of = photos): Promise<{ readonly original: Seen; readonly copy: Seen }[]> {
  const made: { original: Seen; copy: Seen }[] = [];
  for (const original of of) {
    const { width, height } = await sharp(original.content).metadata();
    const copy = await change(sharp(original.content), width, height).jpeg({ quality: 40 }).toBuffer();
    made.push({ original, copy: await see(`copy of ${original.name}`, copy) });
  }
  return made;
}

describe('a changed copy of a photo', () => {
  it.each([
    ['of 500 pixels, compressed hard', (photo: Sharp) => photo.resize(500), 31],
    ['of a quarter of the size', (photo: Sharp, width: number) => photo.resize(Math.round(width / 4)), 31],
    ['brighter', (photo: Sharp) => photo.linear(1.2, 0), 31],
    ['darker', (photo: Sharp) => photo.linear(0.8, 0), 31],
    ['in grey', (photo: Sharp) => photo.greyscale().toColourspace('srgb'), 31],
    ['turned to the right', (photo: Sharp) => photo.rotate(90), 60],
    ['turned to the left', (photo: Sharp) => photo.rotate(270), 60],
    ['upside down', (photo: Sharp) => photo.rotate(180), 60],
    ['mirrored', (photo: Sharp) => photo.flop(), 60],
    ['cut by 2 %', MIDDLE(0.98), 60],
  ] as const)(
    '%s is near its fingerprint, nine times of ten',
    async (_how, change, limit) => {
      const made = await copies(change);
      const found = made.filter(({ original, copy }) => distance(copy.print, original.print) <= limit);
      expect(found.length / made.length).toBeGreaterThanOrEqual(0.9);
    },
    60_000,
  );

  it.each([
    ['cut by 20 %', MIDDLE(0.8)],
    ['cut by half', MIDDLE(0.5)],
    ['turned by 5°', (photo: Sharp) => photo.rotate(5, { background: '#808080' })],
  ] as const)(
    '%s is found by its details',
    async (_how, change) => {
      const made = await copies(change, some());
      const found = await Promise.all(made.map(({ original, copy }) => inDetail(copy, original)));
      expect(found.filter(Boolean).length / made.length).toBeGreaterThanOrEqual(0.8);
    },
    60_000,
  );

  it('inside a screenshot is found, by the picture inside or by details', async () => {
    let found = 0;
    for (const original of some()) {
      const inside = await sharp(original.content).resize(1080, 1500, { fit: 'inside' }).png().toBuffer();
      const screen = await sharp({ create: { width: 1080, height: 2340, channels: 3, background: '#000000' } })
        .composite([{ input: inside }])
        .jpeg({ quality: 80 })
        .toBuffer();
      const copy = await see('screenshot', screen);
      const near = distance(copy.print, original.print) <= REUSE_LIMITS.probable;
      if (near || (await inDetail(copy, original))) found += 1;
    }
    expect(found / some().length).toBeGreaterThanOrEqual(0.8);
  }, 60_000);
});

describe('photos of different things', () => {
  it('are never taken for one, by fingerprint or by details', async () => {
    const taken: string[] = [];
    for (const [at, one] of photos.entries()) {
      for (const other of photos.slice(at + 1)) {
        const near = distance(one.print, other.print) <= REUSE_LIMITS.check;
        if (near || (await inDetail(one, other))) taken.push(`${one.name}, ${other.name}`);
      }
    }
    expect(photos.length).toBeGreaterThanOrEqual(9);
    expect(taken).toEqual([]);
  }, 60_000);
});

describe('what has no fingerprint', () => {
  it('is a picture below 64 pixels', async () => {
    const picture = { content: Buffer.alloc(63 * 200 * 3, 90), info: { width: 63, height: 200, channels: 3 as const } };
    expect(await fingerprintPhoto(picture)).toBeUndefined();
  });
});
