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
 * Degrees by which a picture is turned when nothing is found: bars are read along straight lines, and a line through a long, low code must
 * not leave it above or below. Square codes are found at any angle.
 */
const TILTS = [8, -8];

/**
 * The codes on a photo. A photo of anything is glanced at, small; a photo of a label is searched at 2048 pixels, and only when nothing is
 * found there turned a little either way, in full size and, because some codes are read better small, at 1024.
 */
export async function readLabels(pictures: PicturesForLabels, effort: LabelEffort): Promise<LabelReading[]> {
  const { small, large, encoded } = pictures;
  if (effort === 'glance') return decodeLabels(small);
  const picture = await greyOf(large);
  const tries = [
    () => decodeLabels(picture),
    ...TILTS.map((degrees) => () => decodeTilted(picture, degrees)),
    async () => (encoded ? decodeLabels(await fullGrey(encoded)) : []),
    () => decodeLabels(small),
  ];
  for (const read of tries) {
    const found = await read();
    if (found.length > 0) return found;
  }
  return [];
}

/** Codes of bars on the picture turned clockwise by so many degrees; their places are those on the picture as it is. */
async function decodeTilted(picture: GreyPicture, degrees: number): Promise<LabelReading[]> {
  const { width, height } = picture;
  const raw = { width, height, channels: 1 as const };
  const turned = await grey(sharp(picture.pixels, { raw }).rotate(degrees, { background: '#ffffff' }));
  const [cos, sin] = [Math.cos((degrees * Math.PI) / 180), Math.sin((degrees * Math.PI) / 180)];
  const back = ([x, y]: readonly [number, number]): readonly [number, number] => {
    const [across, down] = [(x - 0.5) * turned.width, (y - 0.5) * turned.height];
    return [share((across * cos + down * sin) / width + 0.5), share((down * cos - across * sin) / height + 0.5)];
  };
  const labels = await decodeLabels(turned, true);
  return labels.map((label) => ({ ...label, place: label.place.map(back), atPx: Math.max(width, height) }));
}

function share(value: number): number {
  return Math.round(Math.min(1, Math.max(0, value)) * 1e4) / 1e4;
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
