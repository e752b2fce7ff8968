import { bitsSet } from './fingerprint.js';
import { seeded } from './features-description.js';
import type { Features } from './features.js';

/** How well one picture's features fit onto another's by one move, turn and change of size. */
export interface FeatureMatch {
  /** Features of one picture with one clearly nearest feature of the other. */
  readonly matches: number;
  /** Those that one and the same move explains within five pixels. */
  readonly inliers: number;
  /** Turn in degrees, clockwise, and factor of size from the first picture to the second; absent without a fit. */
  readonly turn?: { readonly degrees: number; readonly factor: number };
}

/** Fewer features than this say nothing, one way or the other. */
export const LEAST_FEATURES = 30;
/** Both must hold: 15 inliers alone joined 11 of 4,950 pairs of different photos, together with the share none. */
export const FEATURE_LIMITS = { inliers: 15, share: 0.5 } as const;

const MOST_BITS = 64;
const CLEARLY_NEARER = 0.85;
const TRIES = 300;
const TOLERANCE = 5;

/** Compares two pictures feature by feature (about 7 ms). The outcome is the same in each run. */
export function matchFeatures(one: Features, other: Features): FeatureMatch {
  const matches = clearMatches(one, other);
  return { matches: matches.length, ...bestMove(one, other, matches) };
}

/** Whether a match is good enough to be shown to a person. */
export function isFeatureMatch({ matches, inliers }: FeatureMatch): boolean {
  return inliers >= FEATURE_LIMITS.inliers && inliers / matches >= FEATURE_LIMITS.share;
}

type Match = readonly [one: number, other: number];

/**
 * Pairs of at most 64 bits apart that are each other's nearest, and clearly nearer than the second nearest of the first picture (Lowe's
 * ratio, IJCV 60(2), 2004). Being nearest both ways keeps a cut-out of a picture from being lost among the picture's other features.
 */
function clearMatches(one: Features, other: Features): Match[] {
  const best = new Uint16Array(one.count).fill(257);
  const second = new Uint16Array(one.count).fill(257);
  const nearest = new Int16Array(one.count).fill(-1);
  const bestBack = new Uint16Array(other.count).fill(257);
  const nearestBack = new Int16Array(other.count).fill(-1);
  for (let n = 0; n < one.count; n += 1) {
    for (let m = 0; m < other.count; m += 1) {
      const bits = bitsApart(one.bits, n * 8, other.bits, m * 8);
      if (bits < (best[n] ?? 0)) {
        second[n] = best[n] ?? 0;
        best[n] = bits;
        nearest[n] = m;
      } else if (bits < (second[n] ?? 0)) second[n] = bits;
      if (bits < (bestBack[m] ?? 0)) {
        bestBack[m] = bits;
        nearestBack[m] = n;
      }
    }
  }
  return [...nearest.entries()].filter(([n, m]) => {
    const bits = best[n] ?? 257;
    return m >= 0 && nearestBack[m] === n && bits <= MOST_BITS && bits < CLEARLY_NEARER * (second[n] ?? 0);
  });
}

function bitsApart(one: Uint32Array, at: number, other: Uint32Array, from: number): number {
  let bits = 0;
  for (let word = 0; word < 8; word += 1) bits += bitsSet((one[at + word] ?? 0) ^ (other[from + word] ?? 0));
  return bits;
}

/** x' = a·x − b·y + across, y' = b·x + a·y + down */
interface Move {
  readonly a: number;
  readonly b: number;
  readonly across: number;
  readonly down: number;
}

/** The move that most matches agree on, tried from pairs drawn at random (Fischler and Bolles, 1981). */
function bestMove(one: Features, other: Features, matches: readonly Match[]): Omit<FeatureMatch, 'matches'> {
  if (matches.length < 2) return { inliers: 0 };
  const draw = seeded(0x2_5eed);
  let best: { move: Move; inliers: number } | undefined;
  for (let attempt = 0; attempt < TRIES; attempt += 1) {
    const first = matches[Math.floor(draw() * matches.length)];
    const second = matches[Math.floor(draw() * matches.length)];
    const move = first && second && moveFrom(one, other, first, second);
    if (!move) continue;
    const inliers = agreeing(one, other, matches, move);
    if (!best || inliers > best.inliers) best = { move, inliers };
  }
  if (!best) return { inliers: 0 };
  const { a, b } = best.move;
  const turn = { degrees: Math.round((Math.atan2(b, a) * 180) / Math.PI), factor: Math.hypot(a, b) };
  return { inliers: best.inliers, turn };
}

function moveFrom(one: Features, other: Features, first: Match, second: Match): Move | undefined {
  const [x1, y1] = placeOf(one, first[0]);
  const [x2, y2] = placeOf(one, second[0]);
  const [u1, v1] = placeOf(other, first[1]);
  const [u2, v2] = placeOf(other, second[1]);
  const [dx, dy, du, dv] = [x2 - x1, y2 - y1, u2 - u1, v2 - v1];
  const length = dx * dx + dy * dy;
  // Points close together tell a turn badly.
  if (length < 400) return undefined;
  const a = (dx * du + dy * dv) / length;
  const b = (dx * dv - dy * du) / length;
  const factor = Math.hypot(a, b);
  if (factor < 0.15 || factor > 6.5) return undefined;
  return { a, b, across: u1 - a * x1 + b * y1, down: v1 - b * x1 - a * y1 };
}

/** Each place of the other picture counts once, so that many features falling onto one spot are no agreement. */
function agreeing(one: Features, other: Features, matches: readonly Match[], { a, b, across, down }: Move): number {
  const hit = new Set<number>();
  for (const [n, m] of matches) {
    const [x, y] = placeOf(one, n);
    const [u, v] = placeOf(other, m);
    if (Math.hypot(a * x - b * y + across - u, b * x + a * y + down - v) <= TOLERANCE) hit.add(m);
  }
  return hit.size;
}

function placeOf({ places }: Features, n: number): readonly [number, number] {
  return [places[n * 2] ?? 0, places[n * 2 + 1] ?? 0];
}
