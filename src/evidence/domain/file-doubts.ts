import { DOUBT_RATES } from './doubt-rates.js';
import type { Doubt } from './doubts.js';
import type { RawReading } from './photo-reading.js';

/** What the coded data of a JPEG tells about how it came to be. Other formats have none. */
export interface JpegHistory {
  /** Quality of the IJG library whose luma table this is exactly; absent for a maker's own table. */
  readonly ijgQuality?: number;
  /** See `histogramRaggedness`; absent when it cannot be measured, for the reason in `notMeasured`. */
  readonly raggedness?: number;
  readonly notMeasured?: 'progressive' | 'not readable' | 'too little texture';
  /** Bytes behind the end of the picture. Cameras put moving pictures and second pictures there: common, and no doubt. */
  readonly bytesAfterEnd: number;
}

/** The small picture that a camera puts beside the photo, compared with the photo itself. */
export interface ThumbnailReading {
  readonly width: number;
  readonly height: number;
  /** Bits of 256 by which the fingerprints differ, turned and cropped the best way; absent when it cannot be told. */
  readonly distance?: number;
}

/** Limits of the doubts that the file itself gives rise to. */
export const FILE_LIMITS = {
  /** Between single compression (up to 0.12 when measured) and a second one at a higher quality (0.6 and more). */
  raggedness: 0.2,
  /** Bits of 256; unlike pictures differ by 128 on average with a deviation of 8. */
  thumbnailDistance: 90,
  /** Messengers shrink to these long sides (from memory) and compress to at most this quality. */
  messengerSides: [1280, 1600, 2048],
  messengerQuality: 85,
} as const;

/** Doubts that need nothing but the file. */
export function fileDoubts(raw: RawReading): readonly (Doubt | undefined)[] {
  return [sizeDoubt(raw), thumbnailDoubt(raw), compressionDoubt(raw), strippedDoubt(raw), truncatedDoubt(raw)];
}

function sizeDoubt({ exifSize, stored }: RawReading): Doubt | undefined {
  const { width, height } = exifSize ?? {};
  if (typeof width !== 'number' || typeof height !== 'number' || width <= 0 || height <= 0) return undefined;
  const same = (a: number, b: number) => a === stored.width && b === stored.height;
  if (same(width, height) || same(height, width)) return undefined;
  const says = `Its metadata speak of ${width} × ${height} pixels, but it has ${stored.width} × ${stored.height}. It was cropped or shrunk after it was taken.`;
  return { kind: 'size differs', says, rate: DOUBT_RATES['size differs'] };
}

function thumbnailDoubt({ thumbnail }: RawReading): Doubt | undefined {
  const threshold = FILE_LIMITS.thumbnailDistance;
  if (thumbnail?.distance === undefined || thumbnail.distance <= threshold) return undefined;
  const says =
    'The small preview inside the file shows something else than the photo. Editing often leaves the old preview behind.';
  const rate = DOUBT_RATES['thumbnail differs'];
  return { kind: 'thumbnail differs', says, measured: thumbnail.distance, threshold, unit: 'bits of 256', rate };
}

function compressionDoubt({ jpeg }: RawReading): Doubt | undefined {
  const threshold = FILE_LIMITS.raggedness;
  if (jpeg?.raggedness === undefined || jpeg.raggedness <= threshold) return undefined;
  const says =
    'It was compressed at least twice: something saved it again after the camera did. Messengers and editors do that.';
  const measured = Math.round(jpeg.raggedness * 1000) / 1000;
  const rate = DOUBT_RATES['compressed twice'];
  return { kind: 'compressed twice', says, measured, threshold, unit: 'raggedness', rate };
}

function strippedDoubt({ hasExif, stored, jpeg }: RawReading): Doubt | undefined {
  if (hasExif !== false || jpeg?.ijgQuality === undefined) return undefined;
  const side = Math.max(stored.width, stored.height);
  const threshold = FILE_LIMITS.messengerQuality;
  if (!FILE_LIMITS.messengerSides.some((each) => each === side) || jpeg.ijgQuality > threshold) return undefined;
  const says = `It has no metadata and is ${side} pixels long: it probably came through a messenger.`;
  return { kind: 'stripped', says, measured: jpeg.ijgQuality, threshold, unit: 'JPEG quality', weak: true };
}

function truncatedDoubt({ truncated }: RawReading): Doubt | undefined {
  return truncated
    ? { kind: 'truncated', says: 'The file is broken or ends too early; part of the picture is missing.' }
    : undefined;
}
