import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { seeded } from './features-description.js';
import { bitsSet, fingerprint, fingerprintDistance, TURNS, USABLE_QUALITY } from './fingerprint.js';
import type { GreyPicture } from './sharpness.js';

/** Soft blobs of light and dark, never the same for two seeds. */
function blobs(seed: number, width = 256, height = 256): GreyPicture {
  const draw = seeded(seed);
  const centres = Array.from({ length: 25 }, () => ({
    x: draw() * width,
    y: draw() * height,
    reach: 8 + draw() * 50,
    light: draw() * 240 - 120,
  }));
  const pixels = new Uint8Array(width * height);
  for (let at = 0; at < pixels.length; at += 1) {
    const [x, y] = [at % width, Math.floor(at / width)];
    const light = centres.reduce((sum, each) => {
      const far = ((x - each.x) ** 2 + (y - each.y) ** 2) / each.reach ** 2;
      return sum + each.light * Math.exp(-far);
    }, 128);
    pixels[at] = Math.max(0, Math.min(255, Math.round(light)));
  }
  return { pixels, width, height };
}

const LARGE = blobs(2, 512, 512);

/** The picture whose pixel at (x, y) is `from` at the place that `where` tells. */
function moved(from: GreyPicture, where: (x: number, y: number, last: number) => [number, number]): GreyPicture {
  const { width } = from;
  const pixels = from.pixels.map((_value, at) => {
    const [x, y] = where(at % width, Math.floor(at / width), width - 1);
    return from.pixels[y * width + x] ?? 0;
  });
  return { ...from, pixels };
}

describe('the fingerprint of a picture', () => {
  it('has 256 bits, half of them set, and is the same each time', () => {
    const { hex, quality } = fingerprint(blobs(1));
    expect(hex).toMatch(/^[0-9a-f]{64}$/);
    expect(Array.from(hex).reduce((sum, digit) => sum + bitsSet(Number.parseInt(digit, 16)), 0)).toBe(128);
    expect(quality).toBeGreaterThanOrEqual(USABLE_QUALITY);
    expect(fingerprint(blobs(1)).hex).toBe(hex);
  });

  it.each([
    ['upright', (x: number, y: number): [number, number] => [x, y]],
    ['mirrored left to right', (x: number, y: number, last: number): [number, number] => [last - x, y]],
    ['mirrored top to bottom', (x: number, y: number, last: number): [number, number] => [x, last - y]],
    ['turned by 180°', (x: number, y: number, last: number): [number, number] => [last - x, last - y]],
    ['mirrored along the diagonal', (x: number, y: number): [number, number] => [y, x]],
    // Turned to the right, the lower left corner comes to the upper left.
    ['turned by 90° to the right', (x: number, y: number, last: number): [number, number] => [y, last - x]],
    ['turned by 90° to the left', (x: number, y: number, last: number): [number, number] => [last - y, x]],
    [
      'mirrored along the other diagonal',
      (x: number, y: number, last: number): [number, number] => [last - y, last - x],
    ],
  ] as const)('tells how it would look %s', (turn, where) => {
    const picture = LARGE;
    const { turned } = fingerprint(picture);
    const really = fingerprint(moved(picture, where)).hex;
    const distances = turned.map((each) => fingerprintDistance(each, really));
    // Windows of an even width lie off centre by half a pixel, which turns some bits; 31 is the limit for the same picture.
    expect(distances[TURNS.indexOf(turn)]).toBeLessThanOrEqual(31);
    expect(distances.filter((distance) => distance < 60)).toHaveLength(1);
  });

  it('different pictures lie around 128 bits apart', () => {
    const prints = Array.from({ length: 20 }, (_each, n) => fingerprint(blobs(n + 10)).hex);
    const distances = prints.flatMap((one, n) => prints.slice(n + 1).map((other) => fingerprintDistance(one, other)));
    expect(Math.min(...distances)).toBeGreaterThan(84);
    const mean = distances.reduce((sum, each) => sum + each, 0) / distances.length;
    expect(mean).toBeGreaterThan(122);
    expect(mean).toBeLessThan(134);
  });

  it('a flat picture has no quality, a soft gradient little', () => {
    const flat: GreyPicture = { pixels: new Uint8Array(256 * 256).fill(120), width: 256, height: 256 };
    const gradient: GreyPicture = { ...flat, pixels: flat.pixels.map((_value, at) => (at % 256) / 8 + 100) };
    expect(fingerprint(flat).quality).toBe(0);
    expect(fingerprint(gradient).quality).toBeLessThan(USABLE_QUALITY);
  });

  it('needs 64 pixels a side', () => {
    expect(() => fingerprint(blobs(1, 63, 200))).toThrow('63 × 200');
  });
});

describe('the distance of fingerprints', () => {
  const hex = fc
    .array(fc.integer({ min: 0, max: 15 }), { minLength: 64, maxLength: 64 })
    .map((digits) => digits.map((digit) => digit.toString(16)).join(''));

  it('is a metric of differing bits', () => {
    fc.assert(
      fc.property(hex, hex, hex, (a, b, c) => {
        const [ab, bc, ac] = [fingerprintDistance(a, b), fingerprintDistance(b, c), fingerprintDistance(a, c)];
        const ones = (BigInt(`0x${a}`) ^ BigInt(`0x${b}`)).toString(2).replaceAll('0', '').length;
        expect(ab).toBe(ones);
        expect(fingerprintDistance(b, a)).toBe(ab);
        expect(fingerprintDistance(a, a)).toBe(0);
        expect(ac).toBeLessThanOrEqual(ab + bc);
      }),
    );
  });

  it('wants 64 digits', () => {
    expect(() => fingerprintDistance('ab', 'ab')).toThrow('64 digits');
  });
});
