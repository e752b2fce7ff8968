import sharp, { type Sharp } from 'sharp';
import type { LabelReading } from '../domain/labels.js';
import type { GreyPicture } from '../domain/sharpness.js';
import { decodeLabels } from './label-decoder.js';
import type { RawPicture } from './renditions.js';
import { inputOptions, PIPELINE_SECONDS } from './sharp-settings.js';

/** `glance` finds what is large and clear in a fifth of the time that `search` takes. */
export type LabelEffort = 'glance' | 'search';

/** The same photo in several sizes, upright. */
export interface PicturesForLabels {
  /** At most 1024 pixels a side. */
  readonly small: GreyPicture;
  /** At most 2048 pixels a side. */
  readonly large: RawPicture;
  /** The file, where sharp decodes it. */
  readonly encoded?: Buffer;
}

/** Pixels of the largest picture that is searched; beyond, a decoder would need more memory than a reader has. */
const MOST_PIXELS = 24_000_000;

/**
 * The codes on a photo. A photo of anything is glanced at, small; a photo of a label is searched at 2048 pixels, and only when nothing is
 * found there in full size and, because some codes are read better small, at 1024.
 */
export async function readLabels(pictures: PicturesForLabels, effort: LabelEffort): Promise<LabelReading[]> {
  const { small, large, encoded } = pictures;
  if (effort === 'glance') return decodeLabels(small);
  const found = await decodeLabels(await greyOf(large));
  if (found.length > 0) return found;
  const inFull = encoded ? await decodeLabels(await fullGrey(encoded)) : [];
  return inFull.length > 0 ? inFull : decodeLabels(small);
}

function greyOf({ content, info }: RawPicture): Promise<GreyPicture> {
  return grey(sharp(content, { raw: info }));
}

async function fullGrey(encoded: Buffer): Promise<GreyPicture> {
  const { width, height } = await sharp(encoded, inputOptions('none')).metadata();
  const upright = sharp(encoded, inputOptions('none')).autoOrient();
  const side = Math.round(Math.max(width, height) * Math.min(1, Math.sqrt(MOST_PIXELS / (width * height))));
  return grey(
    upright.resize(side, side, { fit: 'inside', withoutEnlargement: true }).flatten({ background: '#ffffff' }),
  );
}

async function grey(picture: Sharp): Promise<GreyPicture> {
  const { data, info } = await picture
    .timeout({ seconds: PIPELINE_SECONDS })
    .greyscale()
    .toColourspace('b-w')
    .raw({ depth: 'uchar' })
    .toBuffer({ resolveWithObject: true });
  if (info.channels === 1) return { pixels: data, width: info.width, height: info.height };
  const pixels = new Uint8Array(info.width * info.height);
  for (let at = 0; at < pixels.length; at += 1) pixels[at] = data[at * info.channels] ?? 0;
  return { pixels, width: info.width, height: info.height };
}
