import { describe, expect, it } from 'vitest';
import { isNotNearer, nearnessOf, shrunk } from './nearness.js';
import type { GreyPicture } from './sharpness.js';

/** A room of blocks of many sizes, 384 × 288. */
function scene(seed: number): GreyPicture {
  let state = seed;
  const next = (below: number) => (state = (state * 1_103_515_245 + 12_345) % 2_147_483_648) % below;
  const pixels = new Uint8Array(384 * 288).fill(128);
  for (let block = 0; block < 160; block += 1) {
    const [x, y, w, h, level] = [next(384), next(288), 6 + next(50), 6 + next(50), next(256)];
    for (let row = y; row < Math.min(288, y + h); row += 1) {
      pixels.fill(level, row * 384 + x, row * 384 + Math.min(384, x + w));
    }
  }
  return { pixels, width: 384, height: 288 };
}

/** The part of a picture that a camera sees from nearer by this factor. */
function from(nearer: number, { pixels, width, height }: GreyPicture, at: readonly [number, number]): GreyPicture {
  const [w, h] = [Math.round(width / nearer), Math.round(height / nearer)];
  const [left, top] = [Math.round((width - w) * at[0]), Math.round((height - h) * at[1])];
  const cut = new Uint8Array(w * h);
  for (let row = 0; row < h; row += 1) {
    const start = (top + row) * width + left;
    cut.set(pixels.subarray(start, start + w), row * w);
  }
  return { pixels: cut, width: w, height: h };
}

const small = (picture: GreyPicture) => {
  const factor = Math.min(1, 96 / Math.max(picture.width, picture.height));
  return shrunk(picture, Math.round(picture.width * factor), Math.round(picture.height * factor));
};
const brighter = (picture: GreyPicture): GreyPicture => ({
  ...picture,
  pixels: picture.pixels.map((level) => Math.min(255, level * 0.8 + 40)),
});

describe('a pair of wide and close', () => {
  const wide = small(scene(5));

  it.each([
    [1, [0, 0]],
    [1.4, [0.3, 0.6]],
    [2, [0.9, 0.2]],
    [2.6, [0.5, 0.5]],
  ] as const)('%d times nearer is found so, whatever the light', (nearer, at) => {
    const found = nearnessOf(wide, small(brighter(from(nearer, scene(5), at))));
    expect(Math.abs((found.scale ?? 0) / nearer - 1)).toBeLessThan(0.13);
    expect(found.correlation).toBeGreaterThan(0.8);
    expect(isNotNearer(found)).toBe(nearer < 1.25);
  });

  it('of different things cannot be told, and nothing is said of it', () => {
    for (const seed of [11, 12, 13, 14]) {
      const found = nearnessOf(wide, small(scene(seed)));
      expect(found.scale).toBeUndefined();
      expect(isNotNearer(found)).toBe(false);
    }
  });

  it('with a flat photo cannot be told', () => {
    const flat = { pixels: new Uint8Array(96 * 72).fill(200), width: 96, height: 72 };
    expect(nearnessOf(wide, flat).scale).toBeUndefined();
    expect(nearnessOf(flat, wide).scale).toBeUndefined();
  });
});

describe('averaging', () => {
  it('keeps the mean of whole cells', () => {
    const picture = { pixels: Uint8Array.from([0, 100, 200, 100, 50, 50, 30, 70]), width: 4, height: 2 };
    expect([...shrunk(picture, 2, 1).pixels]).toEqual([50, 100]);
    expect([...shrunk(picture, 4, 2).pixels]).toEqual([...picture.pixels]);
  });
});
