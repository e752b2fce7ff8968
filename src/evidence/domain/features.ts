import { cornerAngle, fastCorners, type Corner } from './features-corners.js';
import { describeCorner } from './features-description.js';
import { blurred, shrunk } from './features-levels.js';
import type { GreyPicture } from './sharpness.js';

/** Pixels of the pictures that features are taken from, as in 640 × 480: by area, so that a tall screenshot keeps its detail. */
export const FEATURES_AREA = 307_200;
/** Bytes of one feature when packed: x and y as 16-bit quarter pixels, and 256 bits. */
export const FEATURE_BYTES = 36;

const LEVELS = 8;
const LEVEL_STEP = 1.26;
const MOST = 500;
/** Corners are taken evenly from 8 × 8 fields, so that one busy corner of the picture does not take all. */
const FIELDS = 8;
/** Descriptions reach so far around a corner. */
const MARGIN = 20;

/** Points of a picture that are found again when it is cut, turned, made smaller or photographed from a screen. */
export interface Features {
  readonly width: number;
  readonly height: number;
  readonly count: number;
  /** In pixels of the picture; x and y by turns. */
  readonly places: Float32Array;
  /** Eight words each. */
  readonly bits: Uint32Array;
}

/**
 * At most 500 oriented corners with their 256-bit descriptions, after the open description of ORB (Rublee, Rabaud, Konolige and
 * Bradski, ICCV 2011): FAST-9 corners on a pyramid of eight levels, turned to the centroid of their brightness, compared by pairs of
 * pixels. @param picture grey, of about `FEATURES_AREA` pixels
 */
export function featuresOf(picture: GreyPicture): Features {
  const found: (Corner & { readonly scale: number; readonly words: Uint32Array })[] = [];
  let level = picture;
  for (let n = 0; n < LEVELS; n += 1) {
    const scale = LEVEL_STEP ** n;
    if (n > 0) level = shrunk(picture, scale);
    if (Math.min(level.width, level.height) < 2 * MARGIN + 8) break;
    const quota = Math.round((MOST * (LEVEL_STEP - 1) * LEVEL_STEP ** (LEVELS - 1 - n)) / (LEVEL_STEP ** LEVELS - 1));
    const smooth = blurred(level);
    for (const corner of spreadOut(fastCorners(level, MARGIN), level, quota)) {
      const words = describeCorner(smooth, corner, cornerAngle(level, corner));
      found.push({ ...corner, scale, words });
    }
  }
  const places = new Float32Array(found.length * 2);
  const bits = new Uint32Array(found.length * 8);
  found.forEach(({ x, y, scale, words }, at) => {
    places[at * 2] = (x + 0.5) * scale - 0.5;
    places[at * 2 + 1] = (y + 0.5) * scale - 0.5;
    bits.set(words, at * 8);
  });
  return { width: picture.width, height: picture.height, count: found.length, places, bits };
}

/** Features as bytes, for keeping: 4 bytes of size, then 36 bytes for each. */
export function packFeatures({ width, height, count, places, bits }: Features): Uint8Array {
  const packed = new Uint8Array(4 + count * FEATURE_BYTES);
  const view = new DataView(packed.buffer);
  view.setUint16(0, width);
  view.setUint16(2, height);
  for (let n = 0; n < count; n += 1) {
    const at = 4 + n * FEATURE_BYTES;
    view.setUint16(at, Math.max(0, Math.round((places[n * 2] ?? 0) * 4)));
    view.setUint16(at + 2, Math.max(0, Math.round((places[n * 2 + 1] ?? 0) * 4)));
    for (let word = 0; word < 8; word += 1) view.setUint32(at + 4 + word * 4, bits[n * 8 + word] ?? 0);
  }
  return packed;
}

/** @throws RangeError for bytes that `packFeatures` did not make */
export function unpackFeatures(packed: Uint8Array): Features {
  const count = (packed.length - 4) / FEATURE_BYTES;
  if (count < 0 || !Number.isInteger(count)) throw new RangeError('these are no packed features');
  const view = new DataView(packed.buffer, packed.byteOffset, packed.byteLength);
  const places = new Float32Array(count * 2);
  const bits = new Uint32Array(count * 8);
  for (let n = 0; n < count; n += 1) {
    const at = 4 + n * FEATURE_BYTES;
    places[n * 2] = view.getUint16(at) / 4;
    places[n * 2 + 1] = view.getUint16(at + 2) / 4;
    for (let word = 0; word < 8; word += 1) bits[n * 8 + word] = view.getUint32(at + 4 + word * 4);
  }
  return { width: view.getUint16(0), height: view.getUint16(2), count, places, bits };
}

/** The strongest corners, first from each field alike, then wherever they are. */
function spreadOut(corners: readonly Corner[], { width, height }: GreyPicture, quota: number): readonly Corner[] {
  const strongest = [...corners].sort((a, b) => b.strength - a.strength || a.y - b.y || a.x - b.x);
  const share = Math.ceil(quota / FIELDS ** 2);
  const taken = new Map<number, number>();
  const even: Corner[] = [];
  const rest: Corner[] = [];
  for (const corner of strongest) {
    const field = Math.floor((corner.y * FIELDS) / height) * FIELDS + Math.floor((corner.x * FIELDS) / width);
    const count = taken.get(field) ?? 0;
    taken.set(field, count + 1);
    (count < share ? even : rest).push(corner);
  }
  return [...even, ...rest].slice(0, quota);
}
