import sharp, { type Sharp } from 'sharp';
import { isFeatureMatch, matchFeatures } from '../../evidence/domain/features-match.js';
import { featuresOf, type Features } from '../../evidence/domain/features.js';
import { fingerprintDistance, USABLE_QUALITY } from '../../evidence/domain/fingerprint.js';
import type { PhotoFingerprint } from '../../evidence/domain/photo-fingerprint.js';
import { REUSE_LIMITS } from '../../evidence/domain/reuse-bands.js';
import { fingerprintPhoto, lumaForFeatures } from '../../evidence/imaging/fingerprint-photo.js';
import type { RawPicture } from '../../evidence/imaging/renditions.js';
import type { SetPhoto, SetPicture } from './photo-set.js';
import { share, type Measurement } from './table.js';

type Pictured = SetPhoto & { readonly picture: SetPicture };

/** A picture as everything that is compared of it. */
interface Seen {
  readonly print: PhotoFingerprint;
  readonly features: Features;
}

type Change = (picture: RawPicture) => Promise<Sharp>;

const SCREEN = { width: 1080, height: 2340 };

/** Copies of which only a part, or a small picture inside another, is left. */
const CHANGES: readonly (readonly [name: string, change: Change])[] = [
  ['cut by 20 %', (picture) => cut(picture, 0.8)],
  ['cut by half', (picture) => cut(picture, 0.5)],
  ['turned by 5°', async (picture) => opened(picture).rotate(5, { background: '#808080' })],
  ['screenshot on black', (picture) => screenshot(picture, '#000000', { left: 0, width: SCREEN.width })],
  ['screenshot of a conversation', (picture) => screenshot(picture, '#e8e4dc', { left: 220, width: 820 })],
];

/** What is found again by the picture inside the picture and by details; and how often different photos are taken for one. */
export async function measureDetails(photos: readonly Pictured[]): Promise<Measurement> {
  const all: { readonly picture: RawPicture; readonly seen: Seen }[] = [];
  for (const { picture } of photos) {
    const seen = await see(picture.made.largest);
    if (seen && seen.print.quality >= USABLE_QUALITY) all.push({ picture: picture.made.largest, seen });
  }
  const rows: string[][] = [];
  for (const [name, change] of CHANGES) {
    const found: Found[] = [];
    for (const { picture, seen } of all) {
      const copy = await see(await pixelsOf(await change(picture)));
      found.push(copy ? compare(copy, seen) : { near: false, details: false });
    }
    rows.push(row(name, found));
  }
  const strangers = all.flatMap(({ seen: one }, at) => all.slice(at + 1).map(({ seen: other }) => compare(one, other)));
  rows.push(row('pairs of different photos', strangers));
  return {
    title: 'Found again in part',
    says: `Fingerprints of the whole and of the picture inside within ${REUSE_LIMITS.probable} bits; details as compared with likely copies only.`,
    head: ['copies', 'fingerprint', 'details', 'either'],
    rows,
  };
}

interface Found {
  readonly near: boolean;
  readonly details: boolean;
}

function row(name: string, found: readonly Found[]): string[] {
  const counts = [
    found.filter(({ near }) => near),
    found.filter(({ details }) => details),
    found.filter(({ near, details }) => near || details),
  ];
  return [name, ...counts.map(({ length }) => share(length, found.length))];
}

function compare(one: Seen, other: Seen): Found {
  const asked = [...one.print.turned, ...(one.print.box ? [one.print.box.hex] : [])];
  const kept = [other.print.hex, ...(other.print.box ? [other.print.box.hex] : [])];
  const distances = asked.flatMap((hex) => kept.map((each) => fingerprintDistance(hex, each)));
  return {
    near: Math.min(...distances) <= REUSE_LIMITS.probable,
    details: isFeatureMatch(matchFeatures(one.features, other.features)),
  };
}

async function see(picture: RawPicture): Promise<Seen | undefined> {
  const print = await fingerprintPhoto(picture);
  return print && { print, features: featuresOf(await lumaForFeatures(picture)) };
}

function opened({ content, info }: RawPicture): Sharp {
  return sharp(content, { raw: info }).removeAlpha();
}

async function pixelsOf(image: Sharp): Promise<RawPicture> {
  // Copies are saved as JPEG before anybody sees them.
  const saved = await image.jpeg({ quality: 80 }).toBuffer();
  const { data, info } = await sharp(saved).raw().toBuffer({ resolveWithObject: true });
  return { content: data, info: { width: info.width, height: info.height, channels: info.channels } };
}

async function cut(picture: RawPicture, left: number): Promise<Sharp> {
  const [width, height] = [picture.info.width, picture.info.height].map((side) => Math.round(side * left));
  if (width === undefined || height === undefined) throw new Error('a picture has two sides');
  return opened(picture).extract({
    left: Math.round((picture.info.width - width) / 2),
    top: Math.round((picture.info.height - height) / 2),
    width,
    height,
  });
}

async function screenshot(
  picture: RawPicture,
  background: string,
  { left, width }: { readonly left: number; readonly width: number },
): Promise<Sharp> {
  const { data, info } = await opened(picture)
    .resize(width, 1500, { fit: 'inside' })
    .png()
    .toBuffer({ resolveWithObject: true });
  const top = Math.round((SCREEN.height - info.height) / 2);
  return sharp({ create: { ...SCREEN, channels: 3, background } }).composite([{ input: data, left, top }]);
}
