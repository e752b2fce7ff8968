import type { PhotoMediaType } from './media-type.js';

/**
 * What is taken in, beside the number of bytes, which is a setting. Pixels and sides bound the memory of decoding: a PNG of 2,000,000 × 49 pixels stays
 * under any pixel limit and still cost 1.4 GB when measured, hence the limit on each side.
 */
export const PHOTO_LIMITS = {
  maxSidePx: 16_384,
  maxPixels: 100_000_000,
  /** HEIC above this is kept as an original and never decoded. */
  maxHeicPixels: 60_000_000,
} as const;

export interface PixelSize {
  readonly width: number;
  readonly height: number;
}

/** Why a photo of this declared size is not taken, as a sentence; undefined when it is. HEIC is judged by `tooLargeForHeic`. */
export function tooManyPixels({ width, height }: PixelSize): string | undefined {
  const says = `The photo says it is ${width} × ${height} pixels.`;
  if (Math.max(width, height) > PHOTO_LIMITS.maxSidePx) {
    return `${says} No side may be longer than ${PHOTO_LIMITS.maxSidePx}. Take it again at the usual setting of the camera.`;
  }
  if (width * height > PHOTO_LIMITS.maxPixels) {
    return `${says} At most 100 megapixels are taken. Take it again at the usual setting of the camera.`;
  }
  return undefined;
}

/** The sentence for a photo of more bytes than the operator allows. */
export function tooManyBytes(limit: number): string {
  return `The photo is larger than ${Math.floor(limit / 1_048_576)} MiB. Take it again at the usual setting of the camera.`;
}

/** Why a HEIC original is kept without pictures: more pixels than are decoded, or no decoder in use. */
export type HeicNotShown = 'too large' | 'no decoder';

/** What people are told of a HEIC that cannot be shown. */
export function heicNotShown(why: HeicNotShown): string {
  return why === 'too large'
    ? 'The original is kept, but a HEIC photo of more than 60 megapixels cannot be shown. Send a JPEG of the same thing too.'
    : 'The original is kept, but HEIC photos cannot be shown here. Send a JPEG of the same thing too.';
}

/** Whether a HEIC of this size is kept and not decoded. */
export function tooLargeForHeic({ width, height }: PixelSize): boolean {
  return Math.max(width, height) > PHOTO_LIMITS.maxSidePx || width * height > PHOTO_LIMITS.maxHeicPixels;
}

export function isHeic(mediaType: PhotoMediaType): boolean {
  return mediaType === 'image/heic' || mediaType === 'image/heif';
}

/** What people are told when a photo cannot be opened. */
export const PHOTO_SENTENCES = {
  damaged: 'The photo is damaged and cannot be opened. Take it again and send it once more.',
  tooLong: 'The photo took too long to open and was given up. The original is kept. Take it again.',
  tooMuchMemory: 'The photo needs too much memory to open and was given up. The original is kept. Take it again.',
  tooManyPixels: 'The photo has more pixels than are taken. Take it again at the usual setting of the camera.',
  readerDied: 'Opening the photo failed more than once. The original is kept. Take it again.',
} as const;
