import { describe, expect, it } from 'vitest';
import { seeded } from './features-description.js';
import { contentBox } from './fingerprint-box.js';
import type { GreyPicture } from './sharpness.js';

/** A noisy picture inside a frame of one grey. */
function framed(
  inside: { left: number; top: number; right: number; bottom: number },
  width = 400,
  height = 700,
): GreyPicture {
  const draw = seeded(9);
  const pixels = Uint8Array.from({ length: width * height }, (_each, at) => {
    const [x, y] = [at % width, Math.floor(at / width)];
    const within = x >= inside.left && x < inside.right && y >= inside.top && y < inside.bottom;
    return within ? draw() * 255 : 16;
  });
  return { pixels, width, height };
}

describe('the picture inside a picture', () => {
  it('is found to the pixel inside a frame', () => {
    const inside = { left: 30, top: 200, right: 370, bottom: 480 };
    expect(contentBox(framed(inside))).toEqual(inside);
  });

  it('is not looked for where the content is the whole picture', () => {
    expect(contentBox(framed({ left: 0, top: 0, right: 400, bottom: 700 }))).toBeUndefined();
  });

  it('is not worth it below an eighth of the picture', () => {
    expect(contentBox(framed({ left: 100, top: 300, right: 260, bottom: 380 }))).toBeUndefined();
  });

  it('is none in a flat picture', () => {
    expect(contentBox(framed({ left: 0, top: 0, right: 0, bottom: 0 }))).toBeUndefined();
  });

  it('leaves a line of text above the picture out', () => {
    const picture = framed({ left: 20, top: 250, right: 380, bottom: 600 });
    for (let y = 40; y < 60; y += 1)
      for (let x = 0; x < 200; x += 1) picture.pixels[y * 400 + x] = (x * 37 + y * 11) % 256;
    expect(contentBox(picture)?.top).toBe(250);
  });
});
