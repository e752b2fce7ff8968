import type { PhotoMediaType } from './media-type.js';
import type { PixelSize } from './photo-limits.js';

/** Bytes of a file that is on disk or in memory; `read` gives fewer bytes than asked only at the end. */
export interface ByteSource {
  readonly bytes: number;
  read(offset: number, length: number): Promise<Uint8Array>;
}

/** A source over bytes in memory. */
export function inMemory(content: Uint8Array): ByteSource {
  return { bytes: content.length, read: async (offset, length) => content.subarray(offset, offset + length) };
}

/**
 * Width and height as the header declares them, found without decoding anything, so that a lying or enormous picture is refused
 * before a decoder sees it. Undefined when the header is broken, cut off or declares an empty picture. HEIC is not read here.
 */
export async function declaredSize(
  source: ByteSource,
  mediaType: Exclude<PhotoMediaType, 'image/heic' | 'image/heif'>,
): Promise<PixelSize | undefined> {
  const size = await SIZES[mediaType](source);
  return size && size.width > 0 && size.height > 0 ? size : undefined;
}

const SIZES = { 'image/jpeg': jpegSize, 'image/png': pngSize, 'image/webp': webpSize } as const;

/** ISO/IEC 15948 11.2.2: IHDR is the first chunk, 13 bytes long, width and height first. */
async function pngSize(source: ByteSource): Promise<PixelSize | undefined> {
  const view = viewOf(await source.read(8, 16));
  if (view.byteLength < 16 || view.getUint32(0) !== 13 || view.getUint32(4) !== 0x49484452) return undefined;
  return { width: view.getUint32(8), height: view.getUint32(12) };
}

/** Segments walked before giving up; a camera writes a few dozen, a multi-picture file a few hundred. */
const MAX_SEGMENTS = 2000;

/**
 * ITU-T T.81 annex B: markers with lengths up to the frame header (SOF0 to SOF15 without DHT, JPG and DAC). The scan must begin
 * as well: a file that ends before SOS holds no picture at all. A height of 0 (defined later by DNL) is treated as broken.
 */
async function jpegSize(source: ByteSource): Promise<PixelSize | undefined> {
  let size: PixelSize | undefined;
  let at = 2;
  for (let segment = 0; segment < MAX_SEGMENTS; segment += 1) {
    const view = viewOf(await source.read(at, 9));
    if (view.byteLength < 4 || view.getUint8(0) !== 0xff) return undefined;
    const marker = view.getUint8(1);
    if (marker === 0xff) {
      at += 1;
      continue;
    }
    if (marker === 0xda) return size;
    if (isFrame(marker)) {
      if (view.byteLength < 9) return undefined;
      size ??= { width: view.getUint16(7), height: view.getUint16(5) };
    }
    const standsAlone = marker === 0x01 || (marker >= 0xd0 && marker <= 0xd8);
    at += standsAlone ? 2 : 2 + view.getUint16(2);
  }
  return undefined;
}

function isFrame(marker: number): boolean {
  return marker >= 0xc0 && marker <= 0xcf && marker !== 0xc4 && marker !== 0xc8 && marker !== 0xcc;
}

/** RFC 9649: VP8 key frame header, VP8L signature 0x2f with 14-bit fields, VP8X with 24-bit fields; sizes less one in the last two. */
async function webpSize(source: ByteSource): Promise<PixelSize | undefined> {
  const view = viewOf(await source.read(12, 18));
  if (view.byteLength < 18) return undefined;
  switch (view.getUint32(0)) {
    case 0x56503820: {
      const startCode = (view.getUint8(11) << 16) | (view.getUint8(12) << 8) | view.getUint8(13);
      if (startCode !== 0x9d012a) return undefined;
      return { width: view.getUint16(14, true) & 0x3fff, height: view.getUint16(16, true) & 0x3fff };
    }
    case 0x5650384c: {
      if (view.getUint8(8) !== 0x2f) return undefined;
      const packed = view.getUint32(9, true);
      return { width: (packed & 0x3fff) + 1, height: ((packed >>> 14) & 0x3fff) + 1 };
    }
    case 0x56503858:
      return { width: uint24(view, 12) + 1, height: uint24(view, 15) + 1 };
    default:
      return undefined;
  }
}

function uint24(view: DataView, at: number): number {
  return view.getUint8(at) | (view.getUint8(at + 1) << 8) | (view.getUint8(at + 2) << 16);
}

function viewOf(bytes: Uint8Array): DataView {
  return new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
}
