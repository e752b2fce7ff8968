import { createHash } from 'node:crypto';
import sharp from 'sharp';

/** A picture for the packet: upright JPEG without any metadata, or the reason why there is none. */
export type PacketPicture =
  | { readonly ok: true; readonly jpeg: Buffer; readonly width: number; readonly height: number }
  | { readonly ok: false; readonly because: string };

/** Longest side of a picture in a packet, in pixels; enough for print at half a page. */
const LONGEST = 1_024;
const MOST_PIXELS = 60_000_000;

/** Makes a picture from a rendition or an original. Position and all other metadata stay behind. */
export async function packetPicture(content: Uint8Array): Promise<PacketPicture> {
  try {
    const { data, info } = await sharp(content, { limitInputPixels: MOST_PIXELS })
      .rotate()
      .resize({ width: LONGEST, height: LONGEST, fit: 'inside', withoutEnlargement: true })
      .flatten({ background: '#ffffff' })
      .toColourspace('srgb')
      .jpeg({ quality: 82, chromaSubsampling: '4:2:0', mozjpeg: false })
      .toBuffer({ resolveWithObject: true });
    return { ok: true, jpeg: data, width: info.width, height: info.height };
  } catch {
    return { ok: false, because: 'the picture cannot be read' };
  }
}

/** The same from an original, whose bytes must have the hash on record. */
export async function packetPictureOf(original: Uint8Array, sha256: string): Promise<PacketPicture> {
  const found = createHash('sha256').update(original).digest('hex');
  if (found !== sha256) return { ok: false, because: 'the file is not the one whose hash is on record' };
  return packetPicture(original);
}
