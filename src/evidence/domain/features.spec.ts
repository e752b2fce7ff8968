import { describe, expect, it } from 'vitest';
import { cornerAngle, fastCorners } from './features-corners.js';
import { seeded } from './features-description.js';
import { isFeatureMatch, matchFeatures } from './features-match.js';
import { featuresOf, packFeatures, unpackFeatures } from './features.js';
import type { GreyPicture } from './sharpness.js';

/** Overlapping rectangles and a few discs of random greys. */
function shapes(seed: number, width = 480, height = 360): GreyPicture {
  const draw = seeded(seed);
  const pixels = new Uint8Array(width * height).fill(128);
  for (let n = 0; n < 120; n += 1) {
    const [x, y, wide, high, grey] = [draw() * width, draw() * height, 6 + draw() * 70, 6 + draw() * 50, draw() * 255];
    for (let row = Math.floor(y); row < Math.min(height, y + high); row += 1) {
      for (let column = Math.floor(x); column < Math.min(width, x + wide); column += 1) {
        const inDisc = ((column - x) / wide - 0.5) ** 2 + ((row - y) / high - 0.5) ** 2 <= 0.25;
        if (n % 4 > 0 || inDisc) pixels[row * width + column] = grey;
      }
    }
  }
  return { pixels, width, height };
}

/** Turned clockwise around the middle and enlarged, nearest pixels; outside is grey. */
function placed(from: GreyPicture, degrees: number, factor: number): GreyPicture {
  const [cos, sin] = [Math.cos((degrees * Math.PI) / 180), Math.sin((degrees * Math.PI) / 180)];
  const { width, height } = from;
  const pixels = from.pixels.map((_value, at) => {
    const [x, y] = [(at % width) - width / 2, Math.floor(at / width) - height / 2];
    const u = Math.round((x * cos + y * sin) / factor + width / 2);
    const v = Math.round((-x * sin + y * cos) / factor + height / 2);
    return u < 0 || v < 0 || u >= width || v >= height ? 128 : (from.pixels[v * width + u] ?? 0);
  });
  return { pixels, width, height };
}

function cut({ pixels, width }: GreyPicture, left: number, top: number, wide: number, high: number): GreyPicture {
  const rows = Array.from({ length: high }, (_each, y) =>
    pixels.subarray((top + y) * width + left, (top + y) * width + left + wide),
  );
  return { pixels: Uint8Array.from(rows.flatMap((row) => [...row])), width: wide, height: high };
}

describe('corners', () => {
  it('are the four of a bright square, and none of an edge', () => {
    const width = 60;
    const square = (x: number, y: number) => (x >= 20 && x < 40 && y >= 20 && y < 40 ? 220 : 40);
    const pixels = Uint8Array.from({ length: width * width }, (_each, at) =>
      square(at % width, Math.floor(at / width)),
    );
    const corners = fastCorners({ pixels, width, height: width }, 10);
    expect(corners).not.toHaveLength(0);
    for (const { x, y } of corners) {
      const near = [19.5, 39.5].some((a) => [19.5, 39.5].some((b) => Math.hypot(x - a, y - b) < 4));
      expect(near, `${x},${y}`).toBe(true);
    }
    const quarters = new Set(corners.map(({ x, y }) => `${x > 30},${y > 30}`));
    expect(quarters.size).toBe(4);
  });

  it('point to where it is bright', () => {
    const width = 60;
    const pixels = Uint8Array.from({ length: width * width }, (_each, at) => (at % width > 30 ? 200 : 20));
    const corner = { x: 30, y: 30, strength: 1 };
    expect(cornerAngle({ pixels, width, height: width }, corner)).toBeCloseTo(0, 5);
    const upwards = pixels.map((_value, at) => (Math.floor(at / width) < 30 ? 200 : 20));
    expect(cornerAngle({ pixels: upwards, width, height: width }, corner)).toBeCloseTo(-Math.PI / 2, 5);
  });
});

describe('local features', () => {
  const original = shapes(3);
  const known = featuresOf(original);

  it('are at most 500, and the same each time', () => {
    expect(known.count).toBeGreaterThan(100);
    expect(known.count).toBeLessThanOrEqual(502);
    expect(featuresOf(original)).toEqual(known);
  });

  it.each([
    ['as it is', original, 0, 1],
    ['turned by 20°', placed(original, 20, 1), 20, 1],
    ['turned by 137°', placed(original, 137, 1), 137, 1],
    ['enlarged by half', placed(original, 0, 1.5), 0, 1.5],
    ['shrunk and turned', placed(original, -30, 0.7), -30, 0.7],
    ['cut to a quarter', cut(original, 150, 90, 240, 180), 0, 1],
  ] as const)('find the picture again %s', (_how, picture, degrees, factor) => {
    const match = matchFeatures(known, featuresOf(picture));
    expect(isFeatureMatch(match), JSON.stringify(match)).toBe(true);
    expect(match.turn?.degrees).toBeGreaterThan(degrees - 3);
    expect(match.turn?.degrees).toBeLessThan(degrees + 3);
    expect(match.turn?.factor).toBeCloseTo(factor, 1);
  });

  it('do not find other pictures', () => {
    const others = Array.from({ length: 12 }, (_each, n) => featuresOf(shapes(100 + n)));
    const found = others.filter((other) => isFeatureMatch(matchFeatures(known, other)));
    expect(found).toHaveLength(0);
  });

  it('of a flat picture there are none, and nothing matches them', () => {
    const flat = featuresOf({ pixels: new Uint8Array(300 * 300).fill(90), width: 300, height: 300 });
    expect(flat.count).toBe(0);
    expect(matchFeatures(flat, known)).toEqual({ matches: 0, inliers: 0 });
    expect(isFeatureMatch(matchFeatures(known, flat))).toBe(false);
  });

  it('are kept in bytes to a quarter of a pixel', () => {
    const again = unpackFeatures(packFeatures(known));
    expect(again.bits).toEqual(known.bits);
    expect([again.width, again.height, again.count]).toEqual([known.width, known.height, known.count]);
    known.places.forEach((place, at) => expect(Math.abs((again.places[at] ?? 0) - place)).toBeLessThanOrEqual(0.1251));
    expect(() => unpackFeatures(new Uint8Array(7))).toThrow('no packed features');
  });
});
