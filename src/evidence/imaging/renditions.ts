import sharp, { type Sharp } from 'sharp';
import type { GreyPicture } from '../domain/sharpness.js';
import { isRgbProfile, withProfile } from './colour-profile.js';
import { inputOptions, PIPELINE_SECONDS } from './sharp-settings.js';

/** One upright WebP in sRGB without any metadata. */
export interface MadeRendition {
  readonly size: number;
  readonly width: number;
  readonly height: number;
  readonly content: Buffer;
}

export interface Made {
  readonly renditions: readonly MadeRendition[];
  /** Upright, at most 1024 pixels a side, for the quality numbers. */
  readonly grey: GreyPicture;
  /** The pixels of the largest rendition, upright, in sRGB. */
  readonly largest: RawPicture;
}

/** Pixels row by row, 8 bits a channel. */
export interface RawPicture {
  readonly content: Buffer;
  readonly info: { readonly width: number; readonly height: number; readonly channels: 1 | 2 | 3 | 4 };
}

/** What renditions are made of: a file that sharp decodes, or pixels that are upright already and the profile they are in. */
export type PictureSource =
  | { readonly encoded: Buffer; readonly failOn: 'error' | 'none'; readonly colours: Colours }
  | { readonly pixels: RawPicture; readonly profile: Buffer | undefined };

export interface Colours {
  readonly hasProfile: boolean;
  readonly colourSpace: string;
}

/**
 * The renditions of one photo. It is decoded once and the smaller sizes are made from the next larger one, which costs less than
 * half of three separate runs. Metadata and position stay behind because nothing here asks sharp to keep them.
 * @param sizes longest sides, largest first
 * @throws Error when the picture cannot be decoded under the given strictness
 */
export async function makeRenditions(source: PictureSource, sizes: readonly number[]): Promise<Made> {
  const longest = Math.max(...sizes);
  const largest = 'pixels' in source ? await shrinkPixels(source, longest) : await decodeUpright(source, longest);
  let current = largest;
  const renditions: MadeRendition[] = [];
  let grey: GreyPicture | undefined;
  for (const size of [...sizes].sort((a, b) => b - a)) {
    current = await shrink(current, size);
    const encoded = await fromRaw(current).webp({ quality: 80, effort: 2 }).toBuffer();
    renditions.push({ size, width: current.info.width, height: current.info.height, content: encoded });
    if (size <= 1024) grey ??= await greyOf(current);
  }
  return { renditions, grey: grey ?? (await greyOf(await shrink(current, 1024))), largest };
}

/**
 * Upright sRGB pixels of at most `largest` a side. Where a colour profile is embedded (phones write Display P3), the picture is made
 * small first and converted then: converting at full size doubles the time, with differences of under 0.2 grey levels on average.
 */
async function decodeUpright(
  { encoded, failOn, colours }: Extract<PictureSource, { encoded: Buffer }>,
  largest: number,
): Promise<RawPicture> {
  const upright = () =>
    sharp(encoded, inputOptions(failOn))
      .timeout({ seconds: PIPELINE_SECONDS })
      .autoOrient()
      .resize(largest, largest, { fit: 'inside', withoutEnlargement: true });
  // PNG, which carries the picture between the two steps, has no CMYK.
  const late = colours.hasProfile && colours.colourSpace !== 'cmyk';
  if (!late) return toSrgb(upright());
  return toSrgb(sharp(await upright().keepIccProfile().png({ compressionLevel: 0 }).toBuffer(), inputOptions(failOn)));
}

/** The same for decoded pixels: small first, then out of the profile they are in. Without one they count as sRGB. */
async function shrinkPixels(
  { pixels, profile }: Extract<PictureSource, { pixels: RawPicture }>,
  largest: number,
): Promise<RawPicture> {
  const small = fromRaw(pixels).resize(largest, largest, { fit: 'inside', withoutEnlargement: true });
  if (!profile || !isRgbProfile(profile)) return toSrgb(small);
  const between = withProfile(await small.png({ compressionLevel: 0 }).toBuffer(), profile);
  return toSrgb(sharp(between, inputOptions('error')));
}

async function toSrgb(picture: Sharp): Promise<RawPicture> {
  const { data, info } = await picture
    .flatten({ background: '#ffffff' })
    .toColourspace('srgb')
    .raw({ depth: 'uchar' })
    .toBuffer({ resolveWithObject: true });
  return { content: data, info: { width: info.width, height: info.height, channels: info.channels } };
}

function fromRaw(raw: RawPicture): Sharp {
  return sharp(raw.content, { raw: raw.info }).timeout({ seconds: PIPELINE_SECONDS });
}

async function shrink(raw: RawPicture, size: number): Promise<RawPicture> {
  if (raw.info.width <= size && raw.info.height <= size) return raw;
  const { data, info } = await fromRaw(raw)
    .resize(size, size, { fit: 'inside' })
    .raw()
    .toBuffer({ resolveWithObject: true });
  return { content: data, info: { width: info.width, height: info.height, channels: info.channels } };
}

async function greyOf(raw: RawPicture): Promise<GreyPicture> {
  const { data, info } = await fromRaw(raw)
    .greyscale()
    .toColourspace('b-w')
    .raw()
    .toBuffer({ resolveWithObject: true });
  const pixels = info.channels === 1 ? data : everyNth(data, info.channels);
  return { pixels, width: info.width, height: info.height };
}

function everyNth(data: Buffer, step: number): Uint8Array {
  const pixels = new Uint8Array(data.length / step);
  for (let i = 0; i < pixels.length; i += 1) pixels[i] = data[i * step] ?? 0;
  return pixels;
}
