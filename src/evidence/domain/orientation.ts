import type { PixelSize } from './photo-limits.js';

/** How stored pixels are turned for display: first mirrored left to right, then turned clockwise. */
export interface Orientation {
  readonly tag: 1 | 2 | 3 | 4 | 5 | 6 | 7 | 8;
  readonly mirrored: boolean;
  readonly clockwiseDegrees: 0 | 90 | 180 | 270;
}

/** Exif 2.32 tag 0x0112 (TIFF 6.0 section "Orientation"); 4 is a vertical mirror, which is the same as 180 degrees of the mirror. */
const TABLE: readonly Orientation[] = [
  { tag: 1, mirrored: false, clockwiseDegrees: 0 },
  { tag: 2, mirrored: true, clockwiseDegrees: 0 },
  { tag: 3, mirrored: false, clockwiseDegrees: 180 },
  { tag: 4, mirrored: true, clockwiseDegrees: 180 },
  { tag: 5, mirrored: true, clockwiseDegrees: 270 },
  { tag: 6, mirrored: false, clockwiseDegrees: 90 },
  { tag: 7, mirrored: true, clockwiseDegrees: 90 },
  { tag: 8, mirrored: false, clockwiseDegrees: 270 },
];

const UPRIGHT: Orientation = { tag: 1, mirrored: false, clockwiseDegrees: 0 };

/** The meaning of an orientation tag as a camera wrote it. Anything but 1 to 8 means upright. */
export function orientationOf(tag: unknown): Orientation {
  return TABLE.find((row) => row.tag === tag) ?? UPRIGHT;
}

/** Width and height as displayed: tags 5 to 8 swap them. */
export function uprightSize(stored: PixelSize, orientation: Orientation): PixelSize {
  const swaps = orientation.clockwiseDegrees % 180 !== 0;
  return swaps ? { width: stored.height, height: stored.width } : { width: stored.width, height: stored.height };
}
