import type { GreyPicture } from './sharpness.js';

/** The picture made smaller by a factor above 1, each pixel the mean of what it covers. */
export function shrunk({ pixels, width, height }: GreyPicture, factor: number): GreyPicture {
  const across = Math.max(1, Math.round(width / factor));
  const down = Math.max(1, Math.round(height / factor));
  const wide = new Float32Array(across * height);
  for (let x = 0; x < across; x += 1) {
    const parts = coverage((x * width) / across, ((x + 1) * width) / across);
    for (let y = 0; y < height; y += 1) {
      let sum = 0;
      for (const { at, weight } of parts) sum += weight * (pixels[y * width + at] ?? 0);
      wide[y * across + x] = sum;
    }
  }
  const small = new Uint8Array(across * down);
  for (let y = 0; y < down; y += 1) {
    const parts = coverage((y * height) / down, ((y + 1) * height) / down);
    for (let x = 0; x < across; x += 1) {
      let sum = 0;
      for (const { at, weight } of parts) sum += weight * (wide[at * across + x] ?? 0);
      small[y * across + x] = Math.round(sum);
    }
  }
  return { pixels: small, width: across, height: down };
}

function coverage(from: number, to: number): { readonly at: number; readonly weight: number }[] {
  const parts: { at: number; weight: number }[] = [];
  for (let at = Math.floor(from); at < to; at += 1) {
    const weight = (Math.min(at + 1, to) - Math.max(at, from)) / (to - from);
    if (weight > 1e-9) parts.push({ at, weight });
  }
  return parts;
}

/** Twice the mean of 5 × 5: comparing single pixels needs noise to be smoothed away. Borders are left as they are. */
export function blurred(picture: GreyPicture): GreyPicture {
  return boxed(boxed(picture));
}

function boxed({ pixels, width, height }: GreyPicture): GreyPicture {
  const across = new Uint16Array(pixels.length);
  for (let y = 0; y < height; y += 1) {
    for (let x = 2; x < width - 2; x += 1) {
      const at = y * width + x;
      across[at] =
        (pixels[at - 2] ?? 0) +
        (pixels[at - 1] ?? 0) +
        (pixels[at] ?? 0) +
        (pixels[at + 1] ?? 0) +
        (pixels[at + 2] ?? 0);
    }
  }
  const smooth = Uint8Array.from(pixels);
  for (let y = 2; y < height - 2; y += 1) {
    for (let x = 2; x < width - 2; x += 1) {
      const at = y * width + x;
      const sum =
        (across[at - 2 * width] ?? 0) +
        (across[at - width] ?? 0) +
        (across[at] ?? 0) +
        (across[at + width] ?? 0) +
        (across[at + 2 * width] ?? 0);
      smooth[at] = Math.round(sum / 25);
    }
  }
  return { pixels: smooth, width, height };
}
