import type { GreyPicture } from './sharpness.js';

export interface Corner {
  readonly x: number;
  readonly y: number;
  /** Sum by which the ring differs from the middle beyond the threshold. */
  readonly strength: number;
}

/** The ring of 16 pixels at a distance of three, clockwise from the top (Rosten and Drummond, ECCV 2006, figure 1). */
const RING: readonly (readonly [number, number])[] = [
  [0, -3],
  [1, -3],
  [2, -2],
  [3, -1],
  [3, 0],
  [3, 1],
  [2, 2],
  [1, 3],
  [0, 3],
  [-1, 3],
  [-2, 2],
  [-3, 1],
  [-3, 0],
  [-3, -1],
  [-2, -2],
  [-1, -3],
];
const THRESHOLD = 14;
const IN_A_ROW = 9;
/** Radius of the disc whose centre of brightness gives a corner its direction. */
const DISC = 15;

/** Corners by FAST-9: nine pixels of the ring in a row all brighter, or all darker, than the middle; strongest of each 3 × 3. */
export function fastCorners(picture: GreyPicture, margin: number): Corner[] {
  const { width, height } = picture;
  const strengths = new Uint16Array(width * height);
  const ring = RING.map(([dx, dy]) => dy * width + dx);
  const candidates: number[] = [];
  for (let y = margin; y < height - margin; y += 1) {
    for (let x = margin; x < width - margin; x += 1) {
      const at = y * width + x;
      const strength = cornerStrength(picture.pixels, at, ring);
      if (strength === 0) continue;
      strengths[at] = strength;
      candidates.push(at);
    }
  }
  const around = [-width - 1, -width, -width + 1, -1, 1, width - 1, width, width + 1];
  return candidates
    .filter((at) => {
      const own = strengths[at] ?? 0;
      // Of two alike, the one that comes first counts.
      return around.every((step) => (strengths[at + step] ?? 0) < own + (step > 0 ? 1 : 0));
    })
    .map((at) => ({ x: at % width, y: Math.floor(at / width), strength: strengths[at] ?? 0 }));
}

function cornerStrength(pixels: Uint8Array, at: number, ring: readonly number[]): number {
  const middle = pixels[at] ?? 0;
  const bright = middle + THRESHOLD;
  const dark = middle - THRESHOLD;
  // Nine in a row of sixteen hold two neighbours among the four quarters.
  const quarters = [0, 4, 8, 12].map((n) => pixels[at + (ring[n] ?? 0)] ?? 0);
  const brighter = quarters.filter((value) => value > bright).length;
  const darker = quarters.filter((value) => value < dark).length;
  if (brighter < 2 && darker < 2) return 0;
  let brightRow = 0;
  let darkRow = 0;
  let isCorner = false;
  let brightSum = 0;
  let darkSum = 0;
  for (let n = 0; n < ring.length + IN_A_ROW - 1; n += 1) {
    const value = pixels[at + (ring[n % ring.length] ?? 0)] ?? 0;
    brightRow = value > bright ? brightRow + 1 : 0;
    darkRow = value < dark ? darkRow + 1 : 0;
    isCorner ||= brightRow >= IN_A_ROW || darkRow >= IN_A_ROW;
    if (n >= ring.length) continue;
    if (value > bright) brightSum += value - bright;
    if (value < dark) darkSum += dark - value;
  }
  return isCorner ? Math.max(brightSum, darkSum) : 0;
}

const DISC_HALVES = Array.from({ length: 2 * DISC + 1 }, (_each, n) =>
  Math.floor(Math.sqrt((DISC + 0.5) ** 2 - (n - DISC) ** 2)),
);

/** Direction from a corner to the centre of brightness around it, in radians. */
export function cornerAngle({ pixels, width }: GreyPicture, { x, y }: Corner): number {
  let across = 0;
  let down = 0;
  DISC_HALVES.forEach((half, n) => {
    const dy = n - DISC;
    const row = (y + dy) * width + x;
    for (let dx = -half; dx <= half; dx += 1) {
      const value = pixels[row + dx] ?? 0;
      across += dx * value;
      down += dy * value;
    }
  });
  return Math.atan2(down, across);
}
