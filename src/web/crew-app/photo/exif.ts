// A canvas drops what the camera wrote about the picture. The block is copied over byte for byte; only its orientation is set to 1, because
// the canvas has turned the picture already. JPEG markers as in ITU-T T.81 annex B, the block as in Exif 2.32 (CIPA DC-008) section 4.5.

const START_OF_IMAGE = 0xffd8;
const START_OF_SCAN = 0xffda;
const APP1 = 0xffe1;
/** "Exif" */
const EXIF = 0x45786966;
const ORIENTATION = 0x0112;
/** Marker and length, "Exif" and two zero bytes. */
const TIFF_AT = 10;
const LITTLE_ENDIAN = 0x4949;

/** The Exif block of a JPEG with its marker; undefined where there is none. @param head the beginning of the file */
export function exifBlock(head: ArrayBuffer): Uint8Array<ArrayBuffer> | undefined {
  const view = new DataView(head);
  if (view.byteLength < 4 || view.getUint16(0) !== START_OF_IMAGE) return undefined;
  let at = 2;
  while (at + 10 < view.byteLength) {
    const marker = view.getUint16(at);
    if (marker < 0xff00 || marker === START_OF_SCAN) return undefined;
    const end = at + 2 + view.getUint16(at + 2);
    if (marker === APP1 && view.getUint32(at + 4) === EXIF)
      return end <= view.byteLength ? new Uint8Array(head.slice(at, end)) : undefined;
    at = end;
  }
  return undefined;
}

/** A copy of an Exif block that says "upright". A block that does not make sense is returned as it is. */
export function uprightBlock(block: Uint8Array<ArrayBuffer>): Uint8Array<ArrayBuffer> {
  const copy = block.slice();
  const view = new DataView(copy.buffer);
  if (view.byteLength < TIFF_AT + 8) return copy;
  const little = view.getUint16(TIFF_AT) === LITTLE_ENDIAN;
  const directory = TIFF_AT + view.getUint32(TIFF_AT + 4, little);
  if (directory + 2 > view.byteLength) return copy;
  const entries = view.getUint16(directory, little);
  for (let n = 0; n < entries; n += 1) {
    const entry = directory + 2 + n * 12;
    if (entry + 12 > view.byteLength) break;
    if (view.getUint16(entry, little) === ORIENTATION) view.setUint16(entry + 8, 1, little);
  }
  return copy;
}

/** Puts a block behind the first marker of a JPEG. */
export function withBlock(jpeg: ArrayBuffer, block: Uint8Array<ArrayBuffer>): ArrayBuffer {
  const picture = new Uint8Array(jpeg);
  const out = new Uint8Array(picture.length + block.length);
  out.set(picture.subarray(0, 2));
  out.set(block, 2);
  out.set(picture.subarray(2), 2 + block.length);
  return out.buffer;
}
