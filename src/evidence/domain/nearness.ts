import type { GreyPicture } from './sharpness.js';

/** How much nearer one photo of a pair shows what the other shows. */
export interface Nearness {
  /** How many times larger things are in the near photo; absent when the photos do not resemble each other enough to tell. */
  readonly scale?: number;
  /** Best correlation found, −1 to 1. Below `NEARNESS_LIMITS.correlation` nothing is said. */
  readonly correlation: number;
}

/** Starting values; tried on generated pairs only (docs/photos.md). */
export const NEARNESS_LIMITS = { correlation: 0.8, scale: 1.25 } as const;

/** Longest side at which the pair is compared, in pixels: enough to place one picture in the other. */
export const NEARNESS_SIDE = 96;

const SCALES = [1, 1.12, 1.25, 1.4, 1.6, 1.8, 2, 2.3, 2.6, 3];

/**
 * Looks for the near photo inside the wide one, at ten scales and every place, by the correlation of brightness less its mean
 * (normalised cross-correlation). It finds a photo taken from the same side; after a step round the thing, or from so near that
 * nothing else is left in it, it finds none and says so.
 * @param wide and near: upright, longest side at most `NEARNESS_SIDE`
 */
export function nearnessOf(wide: GreyPicture, near: GreyPicture): Nearness {
  let best = { scale: 1, correlation: -1 };
  const sums = sumsOf(wide);
  for (const scale of SCALES) {
    const factor = Math.max(wide.width, wide.height) / Math.max(near.width, near.height) / scale;
    const small = shrunk(near, Math.round(near.width * factor), Math.round(near.height * factor));
    const correlation = bestPlace(wide, sums, small);
    if (correlation > best.correlation) best = { scale, correlation };
  }
  const correlation = Math.round(best.correlation * 1000) / 1000;
  return correlation < NEARNESS_LIMITS.correlation ? { correlation } : { scale: best.scale, correlation };
}

/** Whether the near photo of a pair is not nearer than the wide one. False where that cannot be told. */
export function isNotNearer({ scale }: Nearness): boolean {
  return scale !== undefined && scale < NEARNESS_LIMITS.scale;
}

/** A picture made smaller by averaging what falls into each pixel. */
export function shrunk({ pixels, width, height }: GreyPicture, toWidth: number, toHeight: number): GreyPicture {
  const [across, down] = [Math.max(1, toWidth), Math.max(1, toHeight)];
  const made = new Uint8Array(across * down);
  for (let y = 0; y < down; y += 1) {
    const [top, bottom] = span(y, down, height);
    for (let x = 0; x < across; x += 1) {
      const [left, right] = span(x, across, width);
      let sum = 0;
      for (let row = top; row < bottom; row += 1) {
        for (let column = left; column < right; column += 1) sum += pixels[row * width + column] ?? 0;
      }
      made[y * across + x] = Math.round(sum / ((bottom - top) * (right - left)));
    }
  }
  return { pixels: made, width: across, height: down };
}

function span(at: number, parts: number, length: number): [from: number, to: number] {
  const from = Math.min(length - 1, Math.floor((at * length) / parts));
  return [from, Math.max(from + 1, Math.floor(((at + 1) * length) / parts))];
}

/** Running sums of levels and of their squares, with a row and a column of zeros in front. */
interface Sums {
  readonly levels: Float64Array;
  readonly squares: Float64Array;
}

function sumsOf({ pixels, width, height }: GreyPicture): Sums {
  const stride = width + 1;
  const [levels, squares] = [new Float64Array(stride * (height + 1)), new Float64Array(stride * (height + 1))];
  for (let y = 0; y < height; y += 1) {
    let [row, rowSquares] = [0, 0];
    for (let x = 0; x < width; x += 1) {
      const level = pixels[y * width + x] ?? 0;
      row += level;
      rowSquares += level * level;
      const at = (y + 1) * stride + x + 1;
      levels[at] = (levels[at - stride] ?? 0) + row;
      squares[at] = (squares[at - stride] ?? 0) + rowSquares;
    }
  }
  return { levels, squares };
}

function bestPlace(wide: GreyPicture, sums: Sums, small: GreyPicture): number {
  const count = small.pixels.length;
  const mean = small.pixels.reduce((sum, level) => sum + level, 0) / count;
  const template = Float32Array.from(small.pixels, (level) => level - mean);
  const spread = Math.sqrt(template.reduce((sum, level) => sum + level * level, 0));
  if (spread === 0) return -1;
  const [right, bottom] = [wide.width - small.width, wide.height - small.height];
  let best = -1;
  for (let y = 0; y <= bottom; y += 1) {
    for (let x = 0; x <= right; x += 1) {
      const under = inBox(sums.levels, wide.width, { x, y, small });
      const variation = inBox(sums.squares, wide.width, { x, y, small }) - (under * under) / count;
      if (variation <= 0) continue;
      best = Math.max(best, product(wide, small, { x, y }, template) / (spread * Math.sqrt(variation)));
    }
  }
  return best;
}

function inBox(
  sums: Float64Array,
  width: number,
  { x, y, small }: { readonly x: number; readonly y: number; readonly small: GreyPicture },
): number {
  const at = (row: number, column: number) => sums[row * (width + 1) + column] ?? 0;
  const [right, bottom] = [x + small.width, y + small.height];
  return at(bottom, right) - at(y, right) - at(bottom, x) + at(y, x);
}

function product(
  wide: GreyPicture,
  small: GreyPicture,
  { x, y }: { readonly x: number; readonly y: number },
  template: Float32Array,
): number {
  let sum = 0;
  for (let row = 0; row < small.height; row += 1) {
    const from = (y + row) * wide.width + x;
    const start = row * small.width;
    for (let column = 0; column < small.width; column += 1) {
      sum += (wide.pixels[from + column] ?? 0) * (template[start + column] ?? 0);
    }
  }
  return sum;
}
