import { describe, expect, it } from 'vitest';
import { burnMarks, type RgbPicture } from './burn-marks.js';

const grey = (width: number, height: number): RgbPicture => ({
  pixels: new Uint8Array(width * height * 3).fill(90),
  width,
  height,
});
const at = ({ pixels, width }: RgbPicture, x: number, y: number) => {
  const [r = 0, g = 0, b = 0] = pixels.subarray((y * width + x) * 3, (y * width + x) * 3 + 3);
  return r === 90 ? 'untouched' : g === 255 && b === 255 ? 'white' : 'red';
};
const SQUARE = {
  polygon: [
    [0.25, 0.25],
    [0.75, 0.25],
    [0.75, 0.75],
    [0.25, 0.75],
  ],
} as const;

describe('marks burnt into a copy', () => {
  it('run along the outline, with a rim, and leave the inside alone', () => {
    const picture = grey(401, 401);
    burnMarks(picture, [SQUARE]);
    // The left edge lies at x = 100; the line reaches 1.5 pixels and its rim 3.
    expect([97, 98, 99, 100, 101, 102, 103, 104].map((x) => at(picture, x, 200))).toEqual([
      'white',
      'white',
      'red',
      'red',
      'red',
      'white',
      'white',
      'untouched',
    ]);
    expect([at(picture, 200, 200), at(picture, 10, 10)]).toEqual(['untouched', 'untouched']);
    for (const [x, y] of [
      [100, 100],
      [300, 100],
      [300, 300],
      [100, 300],
    ] as const) {
      expect(at(picture, x, y)).toBe('red');
    }
  });

  it('are wider in a larger copy', () => {
    const picture = grey(1001, 401);
    burnMarks(picture, [SQUARE]);
    expect([244, 245, 247, 248, 250].map((x) => at(picture, x, 200))).toEqual([
      'untouched',
      'white',
      'white',
      'red',
      'red',
    ]);
  });

  it('never cover the line of another region with a rim', () => {
    const picture = grey(401, 401);
    const shifted = { polygon: SQUARE.polygon.map(([x, y]) => [x + 0.005, y] as const) };
    burnMarks(picture, [SQUARE, shifted]);
    expect([at(picture, 100, 200), at(picture, 102, 200)]).toEqual(['red', 'red']);
  });

  it('stay inside a picture of one pixel, and nothing is drawn without marks', () => {
    const dot = grey(1, 1);
    burnMarks(dot, [SQUARE]);
    expect(at(dot, 0, 0)).toBe('red');
    const plain = grey(20, 20);
    burnMarks(plain, []);
    expect(plain.pixels.every((level) => level === 90)).toBe(true);
  });
});
