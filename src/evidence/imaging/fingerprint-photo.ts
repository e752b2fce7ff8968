import sharp from 'sharp';
import { FEATURES_AREA } from '../domain/features.js';
import { contentBox, type PixelBox } from '../domain/fingerprint-box.js';
import { fingerprint, USABLE_QUALITY } from '../domain/fingerprint.js';
import type { PhotoFingerprint } from '../domain/photo-fingerprint.js';
import type { GreyPicture } from '../domain/sharpness.js';
import type { RawPicture } from './renditions.js';
import { PIPELINE_SECONDS } from './sharp-settings.js';

/** Side of the squeezed picture that a fingerprint is taken of: enough for its 64 × 64 samples, and small. */
const SQUARE = 512;
const BOX_SIDE = 768;

/**
 * The fingerprint of an upright sRGB picture, and of the picture inside it where there is one.
 * @returns undefined for one so small that there is nothing to tell it by
 */
export async function fingerprintPhoto(picture: RawPicture): Promise<PhotoFingerprint | undefined> {
  const { width, height } = picture.info;
  if (Math.min(width, height) < 64) return undefined;
  const whole = fingerprint(await lumaSquare(picture));
  const small = await lumaOf(picture, BOX_SIDE);
  const found = contentBox(small);
  const box = found && scaled(found, { x: width / small.width, y: height / small.height });
  if (!box || Math.min(box.right - box.left, box.bottom - box.top) < 64) return whole;
  const inside = fingerprint(await lumaSquare(picture, box));
  if (inside.quality < USABLE_QUALITY) return whole;
  const place = {
    left: share(box.left / width),
    top: share(box.top / height),
    right: share(box.right / width),
    bottom: share(box.bottom / height),
  };
  return { ...whole, box: { hex: inside.hex, quality: inside.quality, place } };
}

/** The luma of a picture, made small enough for `featuresOf`. */
export function lumaForFeatures(picture: RawPicture): Promise<GreyPicture> {
  const { width, height } = picture.info;
  return lumaOf(picture, Math.round(Math.max(width, height) * Math.sqrt(FEATURES_AREA / (width * height))));
}

/** Longest side at most `side`. */
async function lumaOf(picture: RawPicture, side: number): Promise<GreyPicture> {
  const { data, info } = await fromRaw(picture)
    .resize(side, side, { fit: 'inside', withoutEnlargement: true })
    .raw()
    .toBuffer({ resolveWithObject: true });
  return luma(data, info);
}

async function lumaSquare(picture: RawPicture, box?: PixelBox): Promise<GreyPicture> {
  const whole = fromRaw(picture);
  const part = box
    ? whole.extract({ left: box.left, top: box.top, width: box.right - box.left, height: box.bottom - box.top })
    : whole;
  const { data, info } = await part.resize(SQUARE, SQUARE, { fit: 'fill' }).raw().toBuffer({ resolveWithObject: true });
  return luma(data, info);
}

function fromRaw({ content, info }: RawPicture) {
  return sharp(content, { raw: info }).timeout({ seconds: PIPELINE_SECONDS });
}

/** Luma by ITU-R BT.601, which sharp's own grey is not. */
function luma(
  data: Buffer,
  { width, height, channels }: { readonly width: number; readonly height: number; readonly channels: number },
): GreyPicture {
  const pixels = new Uint8Array(width * height);
  for (let at = 0; at < pixels.length; at += 1) {
    const red = data[at * channels] ?? 0;
    const green = channels < 3 ? red : (data[at * channels + 1] ?? 0);
    const blue = channels < 3 ? red : (data[at * channels + 2] ?? 0);
    pixels[at] = Math.round(0.299 * red + 0.587 * green + 0.114 * blue);
  }
  return { pixels, width, height };
}

function scaled(box: PixelBox, factor: { readonly x: number; readonly y: number }): PixelBox {
  return {
    left: Math.round(box.left * factor.x),
    top: Math.round(box.top * factor.y),
    right: Math.round(box.right * factor.x),
    bottom: Math.round(box.bottom * factor.y),
  };
}

function share(value: number): number {
  return Math.round(value * 1e4) / 1e4;
}
