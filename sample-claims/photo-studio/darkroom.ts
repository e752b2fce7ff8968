import sharp from 'sharp';
import { type ExifFields, withExif } from '../../tests/support/exif-writer.js';
import { Chance } from './space.js';

/** How the picture came out. */
export interface Exposure {
  /** 1 as metered; 0.3 is far too dark. */
  readonly gain?: number;
  /** Above 0 warmer, below 0 cooler, in parts of the channel. */
  readonly warmth?: number;
  /** Standard deviation of the grain in grey levels. */
  readonly grain?: number;
  /** 0 to 1: how much darker the corners are. */
  readonly vignette?: number;
  /** Radius of a lens out of focus, in pixels. */
  readonly unsharp?: number;
  /** Length of a shaken hand's trace across the picture, in pixels. */
  readonly shake?: number;
}

export const JPEG_QUALITY = 80;

/** Renders a scene to bytes as a phone would have stored them: developed, turned as the orientation says, compressed, with metadata. */
export async function developed(
  svg: string,
  seed: string,
  exposure: Exposure,
  exif: ExifFields | null,
): Promise<Buffer> {
  const { data, width, height } = stored(await exposed(svg, seed, exposure), exif?.orientation ?? 1);
  const turned = await sharp(data, { raw: { width, height, channels: 3 } })
    .jpeg({ quality: JPEG_QUALITY, chromaSubsampling: '4:2:0', mozjpeg: true })
    .toBuffer();
  return exif === null ? turned : withExif(turned, exif);
}

interface Pixels {
  readonly data: Buffer;
  readonly width: number;
  readonly height: number;
}

async function exposed(svg: string, seed: string, exposure: Exposure): Promise<Pixels> {
  let image = sharp(Buffer.from(svg)).flatten({ background: '#777' }).toColourspace('srgb').removeAlpha();
  image = image.blur(exposure.unsharp ?? 0.55);
  const { data, info } = await image.raw().toBuffer({ resolveWithObject: true });
  if (exposure.shake) shaken(data, info.width, info.height, exposure.shake);
  printed(data, info.width, info.height, seed, exposure);
  return { data, width: info.width, height: info.height };
}

/** Vignette, exposure, colour of the light and grain, in place. Grain is stronger in the shadows, as on a small sensor. */
function printed(data: Buffer, width: number, height: number, seed: string, exposure: Exposure): void {
  const chance = new Chance(`grain ${seed}`);
  const { gain = 1, warmth = 0, grain = 3, vignette = 0.3 } = exposure;
  const tone = [1 + warmth, 1, 1 - warmth];
  const [cx, cy] = [width / 2, height / 2];
  for (let y = 0; y < height; y += 1) {
    for (let x = 0; x < width; x += 1) {
      const r2 = ((x - cx) / cx) ** 2 + ((y - cy) / cy) ** 2;
      const fall = gain * (1 - vignette * 0.5 * r2 * (0.6 + 0.2 * r2));
      const speck = (chance.next() + chance.next() + chance.next() - 1.5) * 2 * grain;
      const at = (y * width + x) * 3;
      for (let c = 0; c < 3; c += 1) {
        const value = (data[at + c] ?? 0) * fall * (tone[c] ?? 1);
        data[at + c] = Math.min(255, Math.max(0, Math.round(value + speck * (1.25 - value / 340))));
      }
    }
  }
}

/** Running mean along the rows: the trace of a hand that moved while the shutter was open. */
function shaken(data: Buffer, width: number, height: number, length: number): void {
  const sums = new Float64Array(width + 1);
  for (let y = 0; y < height; y += 1) {
    const start = y * width * 3;
    for (let c = 0; c < 3; c += 1) {
      for (let x = 0; x < width; x += 1) sums[x + 1] = (sums[x] ?? 0) + (data[start + x * 3 + c] ?? 0);
      for (let x = 0; x < width; x += 1) {
        const from = Math.max(0, x - length);
        const to = Math.min(width, x + length + 1);
        data[start + x * 3 + c] = Math.round(((sums[to] ?? 0) - (sums[from] ?? 0)) / (to - from));
      }
    }
  }
}

/** Where a stored pixel comes from in the upright picture of w × h, by orientation (Exif 2.32, tag 0x0112). */
const SOURCES: Readonly<Record<number, (x: number, y: number, w: number, h: number) => readonly [number, number]>> = {
  2: (x, y, w) => [w - 1 - x, y],
  3: (x, y, w, h) => [w - 1 - x, h - 1 - y],
  4: (x, y, _w, h) => [x, h - 1 - y],
  5: (x, y) => [y, x],
  6: (x, y, w) => [w - 1 - y, x],
  7: (x, y, w, h) => [w - 1 - y, h - 1 - x],
  8: (x, y, _w, h) => [y, h - 1 - x],
};

/** Turns upright pixels into the way in which a camera with this orientation stores them. */
function stored(upright: Pixels, orientation: number): Pixels {
  const source = SOURCES[orientation];
  if (source === undefined) return upright;
  const { width: w, height: h } = upright;
  const [width, height] = orientation > 4 ? [h, w] : [w, h];
  const data = Buffer.alloc(upright.data.length);
  for (let y = 0; y < height; y += 1)
    for (let x = 0; x < width; x += 1) {
      const [sx, sy] = source(x, y, w, h);
      upright.data.copy(data, (y * width + x) * 3, (sy * w + sx) * 3, (sy * w + sx) * 3 + 3);
    }
  return { data, width, height };
}
