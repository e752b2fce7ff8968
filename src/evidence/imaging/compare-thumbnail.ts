import sharp from 'sharp';
import type { ThumbnailReading } from '../domain/file-doubts.js';
import { fingerprint, fingerprintDistance, USABLE_QUALITY, type Fingerprint } from '../domain/fingerprint.js';
import type { GreyPicture } from '../domain/sharpness.js';
import { withoutBars } from '../domain/black-bars.js';
import { inputOptions, PIPELINE_SECONDS } from './sharp-settings.js';

/** Previews are 160 × 120 by the standard (Exif 2.32 section 4.5.8), and some phones write larger ones. */
const MOST_PIXELS = 2_000_000;
/** Side of the squares that are compared. */
const SIDE = 128;

/**
 * Compares the preview inside a file with the photo. Cameras leave previews unturned and put black bars beside them, so bars are cut
 * off, all eight turns count, and the photo is also cut to the shape of the preview.
 * @param photo upright, longest side 1024
 * @returns undefined when the preview cannot be decoded; without a distance when either is too flat to tell
 */
export async function compareThumbnail(jpeg: Buffer, photo: GreyPicture): Promise<ThumbnailReading | undefined> {
  const preview = await decoded(jpeg).catch(() => undefined);
  if (!preview) return undefined;
  const { width, height } = preview;
  const inside = withoutBars(preview);
  if (Math.min(inside.width, inside.height) < 32) return { width, height };
  const small = fingerprint(await squared(inside));
  const shapes = [inside.width / inside.height, inside.height / inside.width, undefined];
  const variants = await Promise.all(shapes.map(async (shape) => fingerprint(await squared(centreOf(photo, shape)))));
  if ([small, ...variants].some(({ quality }) => quality < USABLE_QUALITY)) return { width, height };
  return { width, height, distance: Math.min(...variants.map((variant) => nearest(small, variant))) };
}

async function decoded(jpeg: Buffer): Promise<GreyPicture> {
  const { data, info } = await sharp(jpeg, { ...inputOptions('error'), limitInputPixels: MOST_PIXELS })
    .timeout({ seconds: PIPELINE_SECONDS })
    .greyscale()
    .toColourspace('b-w')
    .raw({ depth: 'uchar' })
    .toBuffer({ resolveWithObject: true });
  if (info.channels !== 1) throw new Error('a grey picture has one channel');
  return { pixels: data, width: info.width, height: info.height };
}

function nearest(small: Fingerprint, photo: Fingerprint): number {
  return Math.min(...small.turned.map((turned) => fingerprintDistance(turned, photo.hex)));
}

async function squared({ pixels, width, height }: GreyPicture): Promise<GreyPicture> {
  const data = await sharp(pixels, { raw: { width, height, channels: 1 } })
    .timeout({ seconds: PIPELINE_SECONDS })
    .resize(SIDE, SIDE, { fit: 'fill' })
    .toColourspace('b-w')
    .raw()
    .toBuffer();
  return { pixels: data, width: SIDE, height: SIDE };
}

/** The middle of a picture in another shape. @param shape width ÷ height; absent: the whole */
function centreOf(picture: GreyPicture, shape: number | undefined): GreyPicture {
  if (shape === undefined) return picture;
  const width = Math.max(1, Math.min(picture.width, Math.round(picture.height * shape)));
  const height = Math.max(1, Math.min(picture.height, Math.round(picture.width / shape)));
  const [left, top] = [Math.floor((picture.width - width) / 2), Math.floor((picture.height - height) / 2)];
  const pixels = new Uint8Array(width * height);
  for (let row = 0; row < height; row += 1) {
    const from = (top + row) * picture.width + left;
    pixels.set(picture.pixels.subarray(from, from + width), row * width);
  }
  return { pixels, width, height };
}
