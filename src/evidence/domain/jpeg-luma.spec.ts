import sharp from 'sharp';
import { describe, expect, it } from 'vitest';
import { histogramRaggedness } from './double-compression.js';
import { jpegHistory } from './jpeg-history.js';
import { LARGEST, lumaHistogram, MODES, type LumaHistogram } from './jpeg-luma.js';
import { ijgLuma, ijgQuality } from './jpeg-quantisation.js';
import { jpegStructure } from './jpeg-structure.js';

/** Cloudy texture of many scales, the same each time. */
function texture(width: number, height: number): Buffer {
  let seed = 7;
  const next = () => (seed = (seed * 1_103_515_245 + 12_345) % 2_147_483_648) / 2_147_483_648;
  const pixels = new Float64Array(width * height);
  for (const cell of [64, 32, 16, 8, 4]) {
    const across = Math.ceil(width / cell) + 2;
    const grid = Float64Array.from({ length: across * (Math.ceil(height / cell) + 2) }, () => next() * cell);
    for (let y = 0; y < height; y += 1) {
      for (let x = 0; x < width; x += 1) {
        const [column, row] = [Math.floor(x / cell), Math.floor(y / cell)];
        const [u, v] = [x / cell - column, y / cell - row];
        const at = row * across + column;
        const top = (grid[at] ?? 0) * (1 - u) + (grid[at + 1] ?? 0) * u;
        const bottom = (grid[at + across] ?? 0) * (1 - u) + (grid[at + across + 1] ?? 0) * u;
        pixels[y * width + x] = (pixels[y * width + x] ?? 0) + top * (1 - v) + bottom * v;
      }
    }
  }
  return Buffer.from(pixels.map((level) => Math.min(255, level * 2 + next() * 6)));
}

// Whole minimum coded units even under 4:2:0, so that no block is padding.
const WIDTH = 528;
const HEIGHT = 400;
const scene = sharp(texture(WIDTH, HEIGHT), { raw: { width: WIDTH, height: HEIGHT, channels: 1 } });
const asColour = () => scene.clone().toColourspace('srgb');

function histogram(jpeg: Uint8Array): LumaHistogram {
  const structure = jpegStructure(jpeg);
  const found = structure && lumaHistogram(jpeg, structure, Number.POSITIVE_INFINITY);
  if (found === undefined || typeof found === 'string') throw new Error(String(found));
  return found;
}

/** The same counts from the decoded grey pixels: ITU-T T.81 A.3.3 (forward DCT) and A.3.4 (quantisation), term by term. */
function countsFromPixels(pixels: Uint8Array, width: number, height: number, steps: Uint16Array): Uint32Array {
  const zigzag = [1, 8, 16, 9, 2, 3, 10, 17, 24];
  const counts = new Uint32Array(MODES * (LARGEST + 1));
  for (let by = 0; by < height; by += 8) {
    for (let bx = 0; bx < width; bx += 8) {
      zigzag.forEach((place, mode) => {
        const [u, v] = [place % 8, Math.floor(place / 8)];
        let sum = 0;
        for (let y = 0; y < 8; y += 1) {
          for (let x = 0; x < 8; x += 1) {
            const level = (pixels[(by + y) * width + bx + x] ?? 0) - 128;
            sum += level * Math.cos(((2 * x + 1) * u * Math.PI) / 16) * Math.cos(((2 * y + 1) * v * Math.PI) / 16);
          }
        }
        const scale = (u === 0 ? Math.SQRT1_2 : 1) * (v === 0 ? Math.SQRT1_2 : 1) * 0.25;
        const magnitude = Math.round(Math.abs(sum * scale) / (steps[mode + 1] ?? 1));
        const at = mode * (LARGEST + 1) + magnitude;
        if (magnitude >= 1 && magnitude <= LARGEST) counts[at] = (counts[at] ?? 0) + 1;
      });
    }
  }
  return counts;
}

describe('the reader of coefficients', () => {
  it('counts what the decoder of libjpeg makes pixels of', async () => {
    const jpeg = await scene.clone().jpeg({ quality: 80 }).toBuffer();
    const structure = jpegStructure(jpeg);
    const pixels = await sharp(jpeg).greyscale().raw().toBuffer();
    const expected = countsFromPixels(pixels, WIDTH, HEIGHT, structure?.quantisation.get(0) ?? new Uint16Array(64));
    const { counts, blocks } = histogram(jpeg);
    expect(blocks).toBe((WIDTH / 8) * (HEIGHT / 8));
    // Pixels are rounded and clipped, so a coefficient near the edge of its step may fall next to it: at most 1 in 100.
    const total = expected.reduce((sum, count) => sum + count, 0);
    const apart = counts.reduce((sum, count, at) => sum + Math.abs(count - (expected[at] ?? 0)), 0);
    expect(total).toBeGreaterThan(5000);
    expect(apart / total).toBeLessThan(0.01);
  });

  it.each([
    ['4:2:0', { chromaSubsampling: '4:2:0' }],
    ['4:4:4', { chromaSubsampling: '4:4:4' }],
    ['optimised tables', { optimiseCoding: true }],
    ['standard tables', { optimiseCoding: false }],
  ] as const)('finds the same luma under %s', async (_name, options) => {
    const plain = histogram(await scene.clone().jpeg({ quality: 80 }).toBuffer());
    const colour = histogram(
      await asColour()
        .jpeg({ quality: 80, ...options })
        .toBuffer(),
    );
    const apart = plain.counts.reduce((sum, count, at) => sum + Math.abs(count - (colour.counts[at] ?? 0)), 0);
    const total = plain.counts.reduce((sum, count) => sum + count, 0);
    expect(apart / total).toBeLessThan(0.02);
  });

  it('says of a progressive file that it does not read it', async () => {
    const jpeg = await scene.clone().jpeg({ progressive: true }).toBuffer();
    expect(jpegHistory(jpeg)).toMatchObject({ notMeasured: 'progressive' });
  });

  it('never throws and always ends, wherever the file is cut or broken', async () => {
    const jpeg = await asColour().jpeg({ quality: 70 }).toBuffer();
    let seed = 99;
    const next = (below: number) => (seed = (seed * 1_103_515_245 + 12_345) % 2_147_483_648) % below;
    for (let round = 0; round < 400; round += 1) {
      const broken = Buffer.from(round % 2 === 0 ? jpeg.subarray(0, next(jpeg.length)) : jpeg);
      for (let hit = 0; hit < 8 && broken.length > 4; hit += 1) broken[2 + next(broken.length - 2)] = next(256);
      expect(jpegHistory(broken).bytesAfterEnd).toBeGreaterThanOrEqual(0);
    }
  });
});

describe('quantisation tables', () => {
  it('of libjpeg are told for every quality', { timeout: 20_000 }, async () => {
    const small = sharp(texture(16, 16), { raw: { width: 16, height: 16, channels: 1 } });
    for (let quality = 1; quality <= 100; quality += 1) {
      const structure = jpegStructure(await small.clone().jpeg({ quality }).toBuffer());
      expect(structure?.quantisation.get(0)).toEqual(ijgLuma(quality));
      // Several of the lowest qualities share one table: all steps are at their greatest.
      expect(ijgLuma(ijgQuality(ijgLuma(quality)) ?? 0)).toEqual(ijgLuma(quality));
    }
  });

  it('of a maker are nobody else’s', () => {
    expect(ijgQuality(ijgLuma(90).map((step) => step + 1))).toBeUndefined();
  });
});

describe('a second compression', () => {
  const compressed = async (...qualities: readonly number[]) => {
    let jpeg = await scene
      .clone()
      .jpeg({ quality: qualities[0] ?? 90 })
      .toBuffer();
    for (const quality of qualities.slice(1)) jpeg = await sharp(jpeg).jpeg({ quality }).toBuffer();
    return histogramRaggedness(histogram(jpeg)) ?? 0;
  };

  it('at a higher quality leaves a ragged histogram, a single one never', async () => {
    for (const quality of [50, 70, 85, 95]) expect(await compressed(quality)).toBeLessThan(0.2);
    for (const [first, second] of [
      [60, 85],
      [75, 92],
      [70, 95],
    ] as const) {
      expect(await compressed(first, second)).toBeGreaterThan(0.2);
    }
  });

  it('at the same quality is not seen, and nothing is claimed about it', async () => {
    expect(await compressed(85, 85)).toBeLessThan(0.2);
  });

  it('is not measured where there is no texture', async () => {
    const flat = await sharp({ create: { width: 64, height: 64, channels: 3, background: '#808080' } })
      .jpeg()
      .toBuffer();
    expect(jpegHistory(flat)).toMatchObject({ notMeasured: 'too little texture', ijgQuality: 80 });
  });
});

describe('bytes behind the end', () => {
  it('are counted', async () => {
    const jpeg = await scene.clone().jpeg().toBuffer();
    expect(jpegHistory(jpeg).bytesAfterEnd).toBe(0);
    expect(jpegHistory(Buffer.concat([jpeg, Buffer.from('a moving picture')])).bytesAfterEnd).toBe(16);
  });
});
