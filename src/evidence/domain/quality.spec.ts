import { describe, expect, it } from 'vitest';
import { exposureOf, type Exposure } from './exposure.js';
import type { Nearness } from './nearness.js';
import type { PixelSize } from './photo-limits.js';
import { judgeQuality } from './quality.js';
import { laplacianVariance, percentile, reblurOf, sharpnessOf, type GreyPicture, type Sharpness } from './sharpness.js';

function picture(width: number, height: number, level: (x: number, y: number) => number): GreyPicture {
  const pixels = new Uint8Array(width * height);
  for (let y = 0; y < height; y += 1) for (let x = 0; x < width; x += 1) pixels[y * width + x] = level(x, y);
  return { pixels, width, height };
}

/** Hard-edged blocks of many sizes, and the same blurred by a box of the given radius. */
const blocks = (x: number, y: number) => (((x >> 3) * 37 + (y >> 4) * 91 + ((x ^ y) >> 5) * 53) % 200) + 20;
function boxBlurred(radius: number): GreyPicture {
  const count = (2 * radius + 1) ** 2;
  return picture(512, 384, (x, y) => {
    let sum = 0;
    for (let dy = -radius; dy <= radius; dy += 1)
      for (let dx = -radius; dx <= radius; dx += 1) sum += blocks(x + dx + 64, y + dy + 64);
    return Math.round(sum / count);
  });
}

describe('sharpness', () => {
  // Synthetic values worked out by hand on 32 × 32 pixels with the 900 inner ones: the checkerboard responds ±1020 everywhere
  // (1020² = 1,040,400), a step of 255 responds ±255 in two columns of 30 (255² × 2/30 = 4,335).
  it.each([
    ['a checkerboard', 1_040_400, picture(32, 32, (x, y) => ((x + y) % 2) * 255)],
    ['a flat picture', 0, picture(32, 32, () => 77)],
    ['a ramp', 0, picture(32, 32, (x) => x * 8)],
    ['a step', 4_335, picture(32, 32, (x) => (x < 16 ? 0 : 255))],
  ])('of %s is %d', (_what, expected, made) => {
    expect(laplacianVariance(made)).toBe(expected);
  });

  it('is 0 for pictures that have no inner pixel', () => {
    for (const side of [1, 2]) expect(sharpnessOf(picture(side, side, () => 9)).laplacianVariance).toBe(0);
  });

  it('of the whole is the same by tiles', () => {
    for (const [width, height] of [
      [512, 384],
      [101, 67],
      [9, 5],
    ] as const) {
      const made = picture(width, height, blocks);
      expect(sharpnessOf(made).laplacianVariance).toBe(laplacianVariance(made));
    }
  });

  it('falls with every step of blur and flags the blurred picture only', () => {
    const scores = [0, 2, 4].map((radius) => sharpnessOf(boxBlurred(radius)));
    expect(scores.map(({ crispness }) => crispness ?? 0)).toEqual(
      scores.map(({ crispness }) => crispness ?? 0).sort((a, b) => b - a),
    );
    const size = { width: 4032, height: 3024 };
    const flags = [boxBlurred(0), boxBlurred(4)].map((made) =>
      judgeQuality(size, { sharpness: sharpnessOf(made), exposure: exposureOf(made) }).advice.map(({ flag }) => flag),
    );
    expect(flags).toEqual([[], ['blurred']]);
  });
});

describe('blurring once more', () => {
  // Worked out by hand: a step of 255 varies by 255 once in a row, and a box of nine spreads that over nine pixels of 255/9 each, so
  // 255/9 of 255 is left at the step; along the other axis nothing varies, which counts as blurred.
  it('leaves a ninth of a step along the axis that has it', () => {
    const rows = { ...picture(40, 24, (x) => (x < 20 ? 0 : 255)) };
    expect(reblurOf(rows)).toBe(1);
    const both = picture(40, 40, (x, y) => (x < 20 === y < 20 ? 0 : 255));
    expect(reblurOf(both)).toBeCloseTo(1 / 9, 10);
  });

  it('takes nothing away from a ramp, which is as blurred as can be', () => {
    expect(reblurOf(picture(40, 40, (x, y) => 2 * x + 3 * y))).toBe(1);
  });

  it('is the definition, worked out slowly', () => {
    const made = picture(61, 47, (x, y) => (x * x * 7 + y * y * 13 + x * y * 5) % 251);
    const share = (at: (line: number, n: number) => number, lines: number, length: number) => {
      const box = (line: number, n: number) =>
        Array.from({ length: 9 }, (_, k) => at(line, n + k - 4)).reduce((sum, level) => sum + level, 0) / 9;
      let [all, removed] = [0, 0];
      for (let line = 0; line < lines; line += 1) {
        for (let n = 5; n + 4 < length; n += 1) {
          const before = Math.abs(at(line, n) - at(line, n - 1));
          const after = Math.abs(box(line, n) - box(line, n - 1));
          all += before;
          removed += Math.max(0, before - after);
        }
      }
      return (all - removed) / all;
    };
    const level = (x: number, y: number) => made.pixels[y * made.width + x] ?? 0;
    const slow = Math.max(
      share((y, x) => level(x, y), 47, 61),
      share((x, y) => level(x, y), 61, 47),
    );
    expect(reblurOf(made)).toBeCloseTo(slow, 10);
  });

  it('finds motion along one axis, which the other axis hides from an average', () => {
    const moved = picture(256, 192, (x, y) => {
      let sum = 0;
      for (let step = 0; step < 15; step += 1) sum += blocks(x + step, y);
      return Math.round(sum / 15);
    });
    expect([reblurOf(picture(256, 192, blocks)) < 0.47, reblurOf(moved) > 0.47]).toEqual([true, true]);
  });
});

describe('exposure', () => {
  it('counts clipped pixels', () => {
    expect(exposureOf(picture(10, 10, () => 255))).toMatchObject({
      clippedLight: 1,
      clippedDark: 0,
      p1: 255,
      p99: 255,
    });
    expect(exposureOf(picture(10, 10, () => 128))).toMatchObject({ clippedLight: 0, clippedDark: 0, nearWhite: 0 });
    expect(exposureOf(picture(10, 10, (_x, y) => (y < 3 ? 0 : 200)))).toMatchObject({
      clippedDark: 0.3,
      p1: 0,
      p95: 200,
    });
  });

  it('has no meaning without pixels', () => {
    expect(() => exposureOf({ pixels: new Uint8Array(), width: 0, height: 0 })).toThrow(RangeError);
  });
});

describe('advice to the crew', () => {
  const sharp = { laplacianVariance: 900, detail: 900, crispness: 1, reblur: 0.3 };
  const lit = { p1: 5, p95: 200, p99: 240, clippedDark: 0, clippedLight: 0, nearWhite: 0 };
  const big = { width: 3024, height: 4032 };
  const flags = (size: PixelSize, sharpness: Sharpness, exposure: Exposure, nearness?: Nearness) =>
    judgeQuality(size, { sharpness, exposure, ...(nearness ? { nearness } : {}) }).advice.map(({ flag }) => flag);

  it('is silent about a good photo', () => {
    expect(flags(big, sharp, lit)).toEqual([]);
  });

  it.each([
    ['blurred', big, { ...sharp, crispness: 0.149 }, lit],
    ['blurred', big, { ...sharp, crispness: null, detail: 79 }, lit],
    ['blurred', big, { ...sharp, reblur: 0.471 }, lit],
    ['too dark', big, sharp, { ...lit, p95: 89 }],
    ['too bright', big, sharp, { ...lit, nearWhite: 0.26 }],
    ['flat', big, sharp, { ...lit, p1: 141, p99: 200, p95: 190 }],
    ['small', { width: 1599, height: 1200 }, sharp, lit],
    ['too small', { width: 700, height: 1023 }, sharp, lit],
  ] as const)('says %s just past the threshold', (flag, size, sharpness, exposure) => {
    expect(flags(size, sharpness, exposure)).toEqual([flag]);
  });

  it.each([
    [{ scale: 1.12, correlation: 0.9 }, ['not nearer']],
    [{ scale: 1.25, correlation: 0.9 }, []],
    [{ correlation: 0.79 }, []],
  ] as const)('of a pair that measures %j is %j', (nearness, expected) => {
    expect(flags(big, sharp, lit, nearness)).toEqual(expected);
  });

  it('says nothing on the threshold', () => {
    const edge = { ...lit, p95: 90, nearWhite: 0.25, p1: 30, p99: 90 };
    expect(flags({ width: 1600, height: 900 }, { ...sharp, crispness: 0.15, detail: 80, reblur: 0.47 }, edge)).toEqual(
      [],
    );
  });
});

describe('the percentile', () => {
  it('is the nearest rank', () => {
    expect([0, 0.2, 0.5, 0.9, 1].map((share) => percentile([5, 1, 4, 2, 3], share))).toEqual([1, 1, 3, 5, 5]);
    expect(percentile([], 0.5)).toBe(0);
  });
});
