/** The photo formats that are kept. Everything else is refused with a sentence. */
export const PHOTO_MEDIA_TYPES = ['image/jpeg', 'image/png', 'image/webp', 'image/heic', 'image/heif'] as const;
export type PhotoMediaType = (typeof PHOTO_MEDIA_TYPES)[number];

export type SniffedType =
  | { readonly ok: true; readonly mediaType: PhotoMediaType }
  | { readonly ok: false; readonly found: string; readonly detail: string };

/** How many first bytes of a file decide its type. Brand lists of real phones end well before this. */
export const SNIFF_BYTES = 4096;

/**
 * The type of a file by its first bytes, never by its name or its declared type. Signatures: JPEG (ITU-T T.81 annex B, SOI and a
 * marker), PNG (ISO/IEC 15948 5.2), WebP (RIFF container), HEIF brands (ISO/IEC 23008-12 annex B; AVIF specification section 6).
 * @param head the first SNIFF_BYTES bytes, or all of a shorter file
 */
export function sniffMediaType(head: Uint8Array): SniffedType {
  if (head.length === 0) return refused('nothing', 'The photo is empty (zero bytes). Send it again.');
  if (startsWith(head, [0xff, 0xd8, 0xff])) return { ok: true, mediaType: 'image/jpeg' };
  if (startsWith(head, [0x89, 0x50, 0x4e, 0x47, 0x0d, 0x0a, 0x1a, 0x0a])) return { ok: true, mediaType: 'image/png' };
  if (ascii(head, 0, 4) === 'RIFF' && ascii(head, 8, 4) === 'WEBP') return { ok: true, mediaType: 'image/webp' };
  if (ascii(head, 4, 4) === 'ftyp') return byBrands(brandsOf(head));
  return notAPhoto(head);
}

const KEPT = 'Send the photo as JPEG, PNG, WebP or HEIC.';

/** The major brand first, then the compatible ones that lie inside both the box and the bytes given. */
function brandsOf(head: Uint8Array): string[] {
  const view = new DataView(head.buffer, head.byteOffset, head.byteLength);
  const declared = view.getUint32(0);
  const end = Math.min(head.length, declared >= 16 ? declared : 16);
  const brands = [ascii(head, 8, 4)];
  for (let at = 16; at + 4 <= end; at += 4) brands.push(ascii(head, at, 4));
  return brands.filter((brand) => brand.length === 4);
}

/** Compatible brands are read before deciding: 'mif1' is the structural brand of HEIC and AVIF alike. */
function byBrands(brands: readonly string[]): SniffedType {
  const [major] = brands;
  const has = (...wanted: string[]) => brands.some((brand) => wanted.includes(brand));
  if (has('avif', 'avis')) return refused('AVIF', `AVIF pictures are not kept here. ${KEPT}`);
  if (major === 'heic' || major === 'heix') return { ok: true, mediaType: 'image/heic' };
  if (major === 'hevc' || major === 'hevx' || major === 'msf1') {
    return refused('HEIF sequence', `This is a moving picture (HEIF sequence), not a photo. ${KEPT}`);
  }
  if (major === 'mif1') return { ok: true, mediaType: has('heic', 'heix') ? 'image/heic' : 'image/heif' };
  return refused('video', `This is a video or another media file, not a photo. ${KEPT}`);
}

const OTHERS: readonly { readonly found: string; readonly magic: readonly number[]; readonly says: string }[] = [
  { found: 'GIF', magic: [0x47, 0x49, 0x46, 0x38], says: 'GIF pictures are not kept here.' },
  { found: 'TIFF', magic: [0x49, 0x49, 0x2a, 0x00], says: 'TIFF pictures are not kept here.' },
  { found: 'TIFF', magic: [0x4d, 0x4d, 0x00, 0x2a], says: 'TIFF pictures are not kept here.' },
  { found: 'BMP', magic: [0x42, 0x4d], says: 'BMP pictures are not kept here.' },
  { found: 'PDF', magic: [0x25, 0x50, 0x44, 0x46], says: 'This is a PDF document, not a photo.' },
  { found: 'ZIP', magic: [0x50, 0x4b, 0x03, 0x04], says: 'This is a ZIP archive or an office document, not a photo.' },
  { found: 'ZIP', magic: [0x50, 0x4b, 0x05, 0x06], says: 'This is a ZIP archive, not a photo.' },
];

function notAPhoto(head: Uint8Array): SniffedType {
  const other = OTHERS.find(({ magic }) => startsWith(head, magic));
  if (other) return refused(other.found, `${other.says} ${KEPT}`);
  const text = plainText(head);
  if (text === undefined) return refused('unknown', `The file is of a type that is not known here. ${KEPT}`);
  const lower = text.toLowerCase();
  if (/<svg[\s>]/.test(lower)) return refused('SVG', `SVG drawings are not kept here: they are programs. ${KEPT}`);
  if (/<!doctype html|<html[\s>]|<script[\s>]/.test(lower)) {
    return refused('HTML', `This is a web page, not a photo. ${KEPT}`);
  }
  if (lower.trimStart().startsWith('<?xml')) return refused('XML', `This is an XML document, not a photo. ${KEPT}`);
  return refused('text', `This is text, not a photo, whatever its name says. ${KEPT}`);
}

/** The head as text, or undefined when it holds control characters or is not UTF-8 (a character cut at the end is allowed). */
function plainText(head: Uint8Array): string | undefined {
  const text = new TextDecoder('utf-8').decode(head, { stream: true });
  // oxlint-disable-next-line no-control-regex -- control characters are what tells bytes from text
  return /[\u0000-\u0008\u000e-\u001f\ufffd]/.test(text) ? undefined : text;
}

function refused(found: string, detail: string): SniffedType {
  return { ok: false, found, detail };
}

function startsWith(bytes: Uint8Array, magic: readonly number[]): boolean {
  return magic.every((byte, index) => bytes[index] === byte);
}

function ascii(bytes: Uint8Array, from: number, length: number): string {
  return String.fromCharCode(...bytes.subarray(from, from + length));
}
