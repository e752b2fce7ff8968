import sharp, { type Sharp } from 'sharp';
import type { GreyPicture } from '../../evidence/domain/sharpness.js';

/** A way of spoiling a grey picture, as crews do without meaning to. */
export interface Degradation {
  readonly name: string;
  readonly apply: (picture: GreyPicture) => Promise<GreyPicture>;
}

function opened({ pixels, width, height }: GreyPicture): Sharp {
  return sharp(pixels, { raw: { width, height, channels: 1 } });
}

async function closed(image: Sharp): Promise<GreyPicture> {
  const { data, info } = await image.toColourspace('b-w').raw({ depth: 'uchar' }).toBuffer({ resolveWithObject: true });
  return { pixels: data, width: info.width, height: info.height };
}

/** Out of focus: a Gaussian of so many pixels at the size at which sharpness is judged. */
export function defocus(sigma: number): Degradation {
  return { name: `out of focus, sigma ${sigma}`, apply: async (picture) => closed(opened(picture).blur(sigma)) };
}

/** Moved along one axis by so many pixels while the shutter was open. */
export function motion(length: number): Degradation {
  const kernel = {
    width: length,
    height: 3,
    kernel: Array.from({ length: length * 3 }, (_, at) => (Math.floor(at / length) === 1 ? 1 : 0)),
  };
  return { name: `moved by ${length} px`, apply: async (picture) => closed(opened(picture).convolve(kernel)) };
}

/** Sensor noise: normal, of so many levels. The same each time. */
export function noise(sigma: number): Degradation {
  return {
    name: `noise of ${sigma} levels`,
    apply: async (picture) => {
      const next = uniform(20_261_125);
      const pixels = picture.pixels.map((level) => {
        const normal = Math.sqrt(-2 * Math.log(1 - next())) * Math.cos(2 * Math.PI * next());
        return Math.min(255, Math.max(0, Math.round(level + sigma * normal)));
      });
      return { ...picture, pixels };
    },
  };
}

/** Exposed by so many stops more or less: in linear light, by the transfer curve of sRGB (IEC 61966-2-1). */
export function exposed(stops: number): Degradation {
  const table = Uint8Array.from({ length: 256 }, (_, level) => {
    const value = level / 255;
    const linear = value <= 0.04045 ? value / 12.92 : ((value + 0.055) / 1.055) ** 2.4;
    const lit = Math.min(1, linear * 2 ** stops);
    return Math.round(255 * (lit <= 0.0031308 ? lit * 12.92 : 1.055 * lit ** (1 / 2.4) - 0.055));
  });
  return {
    name: `${stops > 0 ? '+' : '−'}${Math.abs(stops)} EV`,
    apply: async (picture) => ({ ...picture, pixels: picture.pixels.map((level) => table[level] ?? 0) }),
  };
}

export function both(first: Degradation, second: Degradation): Degradation {
  return {
    name: `${first.name}, ${second.name}`,
    apply: async (picture) => second.apply(await first.apply(picture)),
  };
}

export const UNTOUCHED: Degradation = { name: 'as taken', apply: async (picture) => picture };

/** Numbers from 0 to 1, the same for the same seed (mulberry32, in the public domain). */
function uniform(seed: number): () => number {
  let state = seed;
  return () => {
    state = (state + 0x6d2b79f5) | 0;
    let mixed = Math.imul(state ^ (state >>> 15), 1 | state);
    mixed = (mixed + Math.imul(mixed ^ (mixed >>> 7), 61 | mixed)) ^ mixed;
    return ((mixed ^ (mixed >>> 14)) >>> 0) / 4_294_967_296;
  };
}
