import type { Corner } from './features-corners.js';
import type { GreyPicture } from './sharpness.js';

/** Bits of a description. */
const PAIRS = 256;
/** Directions that descriptions are turned to: steps of 12°. */
const DIRECTIONS = 30;
/** Spread of the points of a pair around the corner, a fifth of a patch of 31 pixels (Calonder et al., BRIEF, ECCV 2010, G II). */
const SPREAD = 31 / 5;
const REACH = 13;

/** Pairs of places around a corner, drawn once from a fixed seed: dx, dy, dx, dy for each, turned to each direction. */
const TURNED_PAIRS = turnedPairs();

/** 256 comparisons of two pixels each around a corner, turned to its direction. @param smooth the blurred level */
export function describeCorner({ pixels, width }: GreyPicture, { x, y }: Corner, angle: number): Uint32Array {
  const direction = Math.round((angle / (2 * Math.PI)) * DIRECTIONS + DIRECTIONS) % DIRECTIONS;
  const pairs = TURNED_PAIRS[direction] ?? new Int8Array(PAIRS * 4);
  const words = new Uint32Array(PAIRS / 32);
  const at = y * width + x;
  for (let n = 0; n < PAIRS; n += 1) {
    const one = pixels[at + (pairs[n * 4 + 1] ?? 0) * width + (pairs[n * 4] ?? 0)] ?? 0;
    const other = pixels[at + (pairs[n * 4 + 3] ?? 0) * width + (pairs[n * 4 + 2] ?? 0)] ?? 0;
    if (one < other) words[n >> 5] = (words[n >> 5] ?? 0) | (1 << (n & 31));
  }
  return words;
}

function turnedPairs(): Int8Array[] {
  const draw = seeded(0x0a5_0ed);
  const points = Array.from({ length: PAIRS * 2 }, () => {
    const [a, b] = [bell(draw), bell(draw)];
    return [clamp(a * SPREAD), clamp(b * SPREAD)] as const;
  });
  return Array.from({ length: DIRECTIONS }, (_each, direction) => {
    const angle = (direction / DIRECTIONS) * 2 * Math.PI;
    const [cos, sin] = [Math.cos(angle), Math.sin(angle)];
    return Int8Array.from(
      points.flatMap(([dx, dy]) => [Math.round(dx * cos - dy * sin), Math.round(dx * sin + dy * cos)]),
    );
  });
}

function clamp(value: number): number {
  return Math.max(-REACH, Math.min(REACH, value));
}

/** A normal value of mean 0 and deviation 1 (Box and Muller). */
function bell(draw: () => number): number {
  return Math.sqrt(-2 * Math.log(1 - draw())) * Math.cos(2 * Math.PI * draw());
}

/** Numbers from 0 up to 1 that are the same in each run (Marsaglia's xorshift, 32 bits). */
export function seeded(seed: number): () => number {
  let state = seed | 0;
  return () => {
    state ^= state << 13;
    state ^= state >>> 17;
    state ^= state << 5;
    return (state >>> 0) / 2 ** 32;
  };
}
