import { createHash } from 'node:crypto';
import sharp, { type Sharp } from 'sharp';
import type { MarkedRegion } from '../../evidence/evidence.contract.js';
import { burnMarks } from '../domain/burn-marks.js';

/** A picture for the packet: upright JPEG without any metadata, or the reason why there is none. */
export type PacketPicture =
  | {
      readonly ok: true;
      readonly jpeg: Buffer;
      readonly width: number;
      readonly height: number;
      /** How many regions are drawn into it. */
      readonly marks?: number;
    }
  | { readonly ok: false; readonly because: string };

/** Longest side of a picture in a packet, in pixels; enough for print at half a page. */
const LONGEST = 1_024;
const MOST_PIXELS = 60_000_000;

/**
 * Makes a picture from a rendition or an original. Position and all other metadata stay behind.
 * @param marks regions to draw into it; the rendition and the original stay without them
 */
export async function packetPicture(
  content: Uint8Array,
  marks: readonly Pick<MarkedRegion, 'polygon'>[] = [],
): Promise<PacketPicture> {
  try {
    const upright = sharp(content, { limitInputPixels: MOST_PIXELS })
      .rotate()
      .resize({ width: LONGEST, height: LONGEST, fit: 'inside', withoutEnlargement: true })
      .flatten({ background: '#ffffff' })
      .toColourspace('srgb');
    const { data, info } = await (marks.length === 0 ? upright : await marked(upright, marks))
      .jpeg({ quality: 82, chromaSubsampling: '4:2:0', mozjpeg: false })
      .toBuffer({ resolveWithObject: true });
    const drawn = marks.length === 0 ? {} : { marks: marks.length };
    return { ok: true, jpeg: data, width: info.width, height: info.height, ...drawn };
  } catch {
    return { ok: false, because: 'the picture cannot be read' };
  }
}

async function marked(upright: Sharp, marks: readonly Pick<MarkedRegion, 'polygon'>[]): Promise<Sharp> {
  const { data, info } = await upright.removeAlpha().raw({ depth: 'uchar' }).toBuffer({ resolveWithObject: true });
  const { width, height, channels } = info;
  if (channels !== 3) throw new Error('an sRGB picture has three channels');
  burnMarks({ pixels: data, width, height }, marks);
  return sharp(data, { raw: { width, height, channels } });
}

/** The same from an original, whose bytes must have the hash on record. */
export async function packetPictureOf(original: Uint8Array, sha256: string): Promise<PacketPicture> {
  const found = createHash('sha256').update(original).digest('hex');
  if (found !== sha256) return { ok: false, because: 'the file is not the one whose hash is on record' };
  return packetPicture(original);
}
