import type { GreyPicture } from './sharpness.js';

/** A fingerprint in hexadecimal, highest bit first: 256 bits as 64 digits. */
export type FingerprintHex = string;

/** The eight ways in which a picture can be turned and mirrored; `upright` is the picture as it is. */
export const TURNS = [
  'upright',
  'mirrored left to right',
  'mirrored top to bottom',
  'turned by 180°',
  'mirrored along the diagonal',
  'turned by 90° to the right',
  'turned by 90° to the left',
  'mirrored along the other diagonal',
] as const;
export type Turn = (typeof TURNS)[number];

/** What a picture looks like in 256 bits, together with how it would look turned. */
export interface Fingerprint {
  readonly hex: FingerprintHex;
  /** 0 to 100: how much there is to tell the picture by. Below `USABLE_QUALITY` it must not be matched. */
  readonly quality: number;
  /** Fingerprints of the picture turned and mirrored, in the order of `TURNS`; the first is `hex`. */
  readonly turned: readonly FingerprintHex[];
}

/** Flat pictures resemble each other without being the same. The limit is the one that the reference's own users keep to. */
export const USABLE_QUALITY = 50;

/** Side of the small picture that the transform is taken of. */
const CELLS = 64;
/** Frequencies 1 to 16 along each axis are kept. */
const KEPT = 16;

/**
 * The perceptual fingerprint PDQ, written from its open description (Facebook, "The TMK+PDQF Video-Hashing Algorithm and the PDQ
 * Image-Hashing Algorithm", 2019): luma, two box means per axis, 64 × 64 samples, cosine transform, frequencies 1 to 16, and one bit for
 * each coefficient above the median.
 * @param luma upright, squeezed to a square or not; at least 64 pixels a side. 512 × 512 is what is stored.
 * @throws RangeError for a smaller picture
 */
export function fingerprint(luma: GreyPicture): Fingerprint {
  const cells = cellsOf(luma);
  const waves = wavesOf(cells);
  const turned = TURNS.map((_turn, at) => bitsOf(turnedWaves(waves, at)));
  return { hex: turned[0] ?? '', quality: qualityOf(cells), turned };
}

/** Bits in which two fingerprints differ: 0 to 256; different pictures lie around 128. @throws RangeError unless both have 64 digits */
export function fingerprintDistance(one: FingerprintHex, other: FingerprintHex): number {
  if (one.length !== 64 || other.length !== 64) throw new RangeError('a fingerprint has 64 digits');
  let distance = 0;
  for (let at = 0; at < 64; at += 8) {
    distance += bitsSet(Number.parseInt(one.slice(at, at + 8), 16) ^ Number.parseInt(other.slice(at, at + 8), 16));
  }
  return distance;
}

/** How many bits of a 32-bit word are set, counted in parallel halves (Hacker's Delight, section 5-1). */
export function bitsSet(word: number): number {
  let bits = word - ((word >>> 1) & 0x55555555);
  bits = (bits & 0x33333333) + ((bits >>> 2) & 0x33333333);
  return Math.imul((bits + (bits >>> 4)) & 0x0f0f0f0f, 0x01010101) >>> 24;
}

function cellsOf({ pixels, width, height }: GreyPicture): Float64Array {
  if (width < CELLS || height < CELLS) {
    throw new RangeError(`a fingerprint needs ${CELLS} pixels a side, this has ${width} × ${height}`);
  }
  let now = Float32Array.from(pixels);
  for (let pass = 0; pass < 2; pass += 1) {
    now = boxMean(now, { lines: height, lineStep: width, length: width, step: 1 });
    now = boxMean(now, { lines: width, lineStep: 1, length: height, step: width });
  }
  const cells = new Float64Array(CELLS * CELLS);
  for (let y = 0; y < CELLS; y += 1) {
    const row = Math.floor(((y + 0.5) * height) / CELLS) * width;
    for (let x = 0; x < CELLS; x += 1) {
      cells[y * CELLS + x] = now[row + Math.floor(((x + 0.5) * width) / CELLS)] ?? 0;
    }
  }
  return cells;
}

interface Lines {
  readonly lines: number;
  readonly lineStep: number;
  readonly length: number;
  readonly step: number;
}

/** Mean along each line over a window of length / 128, rounded up; at the ends over what there is of it. */
function boxMean(from: Float32Array, { lines, lineStep, length, step }: Lines): Float32Array<ArrayBuffer> {
  const to = new Float32Array(from.length);
  const window = Math.floor((length + 127) / 128);
  const after = window >> 1;
  const before = window - 1 - after;
  for (let line = 0; line < lines; line += 1) {
    const start = line * lineStep;
    let sum = 0;
    let count = 0;
    for (let n = 0; n < Math.min(after, length); n += 1, count += 1) sum += from[start + n * step] ?? 0;
    for (let n = 0; n < length; n += 1) {
      if (n + after < length) {
        sum += from[start + (n + after) * step] ?? 0;
        count += 1;
      }
      if (n - before > 0) {
        sum -= from[start + (n - before - 1) * step] ?? 0;
        count -= 1;
      }
      to[start + n * step] = sum / count;
    }
  }
  return to;
}

/** Sum of the steps between neighbours in hundredths of the whole scale, over 90: a busy picture has far more than 100. */
function qualityOf(cells: Float64Array): number {
  let sum = 0;
  for (let y = 0; y < CELLS; y += 1) {
    for (let x = 0; x < CELLS; x += 1) {
      const here = cells[y * CELLS + x] ?? 0;
      if (y + 1 < CELLS) sum += Math.abs(Math.trunc(((here - (cells[(y + 1) * CELLS + x] ?? 0)) * 100) / 255));
      if (x + 1 < CELLS) sum += Math.abs(Math.trunc(((here - (cells[y * CELLS + x + 1] ?? 0)) * 100) / 255));
    }
  }
  return Math.min(100, Math.trunc(sum / 90));
}

const COSINES = cosines();

/** Rows 1 to 16 of the cosine transform (DCT-II) of 64 values. */
function cosines(): Float64Array {
  const table = new Float64Array(KEPT * CELLS);
  for (let k = 0; k < KEPT; k += 1) {
    for (let n = 0; n < CELLS; n += 1) {
      table[k * CELLS + n] = Math.sqrt(2 / CELLS) * Math.cos((Math.PI / 2 / CELLS) * (k + 1) * (2 * n + 1));
    }
  }
  return table;
}

/** 16 × 16 coefficients, row by row: first index along the height. */
function wavesOf(cells: Float64Array): Float64Array {
  const between = new Float64Array(KEPT * CELLS);
  for (let k = 0; k < KEPT; k += 1) {
    for (let y = 0; y < CELLS; y += 1) {
      const factor = COSINES[k * CELLS + y] ?? 0;
      for (let x = 0; x < CELLS; x += 1) {
        between[k * CELLS + x] = (between[k * CELLS + x] ?? 0) + factor * (cells[y * CELLS + x] ?? 0);
      }
    }
  }
  const waves = new Float64Array(KEPT * KEPT);
  for (let k = 0; k < KEPT; k += 1) {
    for (let l = 0; l < KEPT; l += 1) {
      let sum = 0;
      for (let x = 0; x < CELLS; x += 1) sum += (between[k * CELLS + x] ?? 0) * (COSINES[l * CELLS + x] ?? 0);
      waves[k * KEPT + l] = sum;
    }
  }
  return waves;
}

/** Mirroring an axis negates its odd frequencies (the first row holds frequency 1); mirroring along the diagonal swaps the axes. */
function turnedWaves(waves: Float64Array, turn: number): Float64Array {
  const turned = new Float64Array(waves.length);
  for (let k = 0; k < KEPT; k += 1) {
    for (let l = 0; l < KEPT; l += 1) {
      const [row, column] = (turn & 4) === 0 ? [k, l] : [l, k];
      const acrossOdd = (turn & 1) !== 0 && l % 2 === 0;
      const downOdd = (turn & 2) !== 0 && k % 2 === 0;
      const value = waves[row * KEPT + column] ?? 0;
      turned[k * KEPT + l] = acrossOdd === downOdd ? value : -value;
    }
  }
  return turned;
}

/** One bit for each coefficient above the median, the last coefficient first. */
function bitsOf(waves: Float64Array): FingerprintHex {
  const median = [...waves].sort((a, b) => a - b)[waves.length / 2 - 1] ?? 0;
  let hex = '';
  for (let at = waves.length - 4; at >= 0; at -= 4) {
    const digit = [3, 2, 1, 0].reduce((bits, n) => bits * 2 + ((waves[at + n] ?? 0) > median ? 1 : 0), 0);
    hex += digit.toString(16);
  }
  return hex;
}
