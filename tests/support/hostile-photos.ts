import { deflateSync } from 'node:zlib';
import sharp from 'sharp';
import type { PhotoMediaType } from '../../src/evidence/domain/media-type.js';
import { blackPng, loopingHeic, lyingPng, pngChunk } from './broken-photos.js';
import { heicClaiming } from './heic-photo.js';

/** A file made to hurt whoever opens it, by its description; none is anybody's. */
export interface Hostile {
  readonly name: string;
  readonly declared: PhotoMediaType;
  readonly make: () => Promise<Buffer> | Buffer;
}

const scene = (width = 96, height = 64) =>
  sharp({
    create: { width, height, channels: 3, background: '#8899aa', noise: { type: 'gaussian', mean: 128, sigma: 40 } },
  });

/** The same JPEG saying that it has another size (SOF, ITU-T T.81 B.2.2). */
export function jpegClaiming(jpeg: Buffer, width: number, height: number): Buffer {
  const copy = Buffer.from(jpeg);
  for (let at = 2; at < copy.length - 9; at += 2 + copy.readUInt16BE(at + 2)) {
    const marker = copy[at + 1] ?? 0;
    if (marker < 0xc0 || marker > 0xc2) continue;
    copy.writeUInt16BE(height, at + 5);
    copy.writeUInt16BE(width, at + 7);
    return copy;
  }
  throw new Error('a JPEG without a frame');
}

/** A lossless WebP of a few dozen bytes that says it has the largest size of its format, 16,384 × 16,384 (VP8L header). */
export function webpClaimingMost(): Buffer {
  const data = Buffer.from([0x2f, 0xff, 0xff, 0xff, 0x0f, 0, 0, 0, 0, 0, 0, 0]);
  const file = Buffer.alloc(20 + data.length);
  file.write('RIFF', 0, 'latin1');
  file.writeUInt32LE(12 + data.length, 4);
  file.write('WEBPVP8L', 8, 'latin1');
  file.writeUInt32LE(data.length, 16);
  data.copy(file, 20);
  return file;
}

/** A progressive JPEG whose last scan comes again and again: each costs as much as the whole picture. */
async function repeatedScans(times: number): Promise<Buffer> {
  const jpeg = await scene(1024, 1024).jpeg({ progressive: true, quality: 90 }).toBuffer();
  const scan = jpeg.lastIndexOf(Buffer.from([0xff, 0xda]));
  const one = jpeg.subarray(scan, -2);
  return Buffer.concat([jpeg.subarray(0, -2), ...Array.from({ length: times }, () => one), jpeg.subarray(-2)]);
}

/** A good PNG with one more chunk before its pixels. */
async function pngWith(type: string, content: Buffer): Promise<Buffer> {
  const png = await scene().png().toBuffer();
  return Buffer.concat([png.subarray(0, 33), pngChunk(type, content), png.subarray(33)]);
}

/** Text of so many zeros behind a keyword, packed as zTXt and iCCP have it (ISO/IEC 15948 11.3.4.3, 11.3.3.3). */
function packedText(bytes: number): Buffer {
  return Buffer.concat([Buffer.from('Comment\0\0', 'latin1'), deflateSync(Buffer.alloc(bytes), { level: 9 })]);
}

const text = (content: string) => () => Buffer.from(content);
const SVG = '<svg xmlns="http://www.w3.org/2000/svg" xmlns:xlink="http://www.w3.org/1999/xlink" width="9" height="9">';

/** What is refused by its first bytes or by the size it says it has, before anything is decoded. */
export const REFUSED_AT_THE_DOOR: readonly Hostile[] = [
  { name: 'PNG of 900 megapixels in 110 KB', declared: 'image/png', make: () => blackPng(30_000, 30_000) },
  { name: 'PNG of 2,000,000 × 49', declared: 'image/png', make: () => blackPng(2_000_000, 49) },
  { name: 'PNG with a lying header', declared: 'image/png', make: () => lyingPng(60_000, 60_000) },
  {
    name: 'JPEG that says 30,000 × 30,000',
    declared: 'image/jpeg',
    make: async () => jpegClaiming(await scene().jpeg().toBuffer(), 30_000, 30_000),
  },
  { name: 'WebP that says 16,384 × 16,384', declared: 'image/webp', make: webpClaimingMost },
  {
    name: 'AVIF',
    declared: 'image/heic',
    make: () => scene().avif({ effort: 0 }).toBuffer(),
  },
  { name: 'GIF', declared: 'image/png', make: () => scene().gif().toBuffer() },
  { name: 'TIFF', declared: 'image/jpeg', make: () => scene().tiff().toBuffer() },
  {
    name: 'SVG of 100,000 × 100,000',
    declared: 'image/png',
    make: text('<svg xmlns="http://www.w3.org/2000/svg" width="100000" height="100000"/>'),
  },
  {
    name: 'SVG with a blur over everything',
    declared: 'image/png',
    make: text(
      `${SVG}<filter id="f"><feGaussianBlur stdDeviation="500"/></filter><rect width="100%" height="100%" filter="url(#f)"/></svg>`,
    ),
  },
  {
    name: 'SVG that uses itself in tens of tens',
    declared: 'image/png',
    make: text(
      `${SVG}<g id="a0"><rect width="1" height="1"/></g>${Array.from(
        { length: 9 },
        (_, n) => `<g id="a${n + 1}">${`<use xlink:href="#a${n}"/>`.repeat(10)}</g>`,
      ).join('')}</svg>`,
    ),
  },
  {
    name: 'SVG that asks for files and addresses',
    declared: 'image/png',
    make: text(`${SVG}<image xlink:href="file:///etc/passwd"/><image xlink:href="http://127.0.0.1:9/x.png"/></svg>`),
  },
  {
    name: 'XML with an entity in tens of tens',
    declared: 'image/jpeg',
    make: text(
      `<?xml version="1.0"?><!DOCTYPE s [<!ENTITY a "aaaaaaaaaa"><!ENTITY b "&a;&a;&a;&a;&a;&a;&a;&a;&a;&a;">]>${SVG}<text>&b;</text></svg>`,
    ),
  },
  {
    name: 'XML with an external entity',
    declared: 'image/jpeg',
    make: text(
      `<?xml version="1.0"?><!DOCTYPE s [<!ENTITY x SYSTEM "file:///etc/passwd">]>${SVG}<text>&x;</text></svg>`,
    ),
  },
  {
    name: 'script for an image program under a photo’s name',
    declared: 'image/jpeg',
    make: text('<?xml version="1.0"?><image><read filename="/etc/passwd"/><write filename="/tmp/out.png"/></image>'),
  },
  { name: 'web page', declared: 'image/jpeg', make: text('<!doctype html><script>alert(1)</script>') },
  { name: 'PDF', declared: 'image/jpeg', make: text('%PDF-1.7\n1 0 obj') },
  { name: 'ZIP', declared: 'image/jpeg', make: () => Buffer.from('PK\x03\x04\0\0\0\0', 'latin1') },
];

/** What gets as far as a reader process and must end there with an answer, in time and without much memory. */
export const FOR_THE_READER: readonly Hostile[] = [
  { name: 'HEIC of 80 bytes that loops', declared: 'image/heic', make: loopingHeic },
  { name: 'HEIC that says 60,000 × 60,000', declared: 'image/heic', make: () => heicClaiming(60_000, 60_000) },
  {
    name: 'JPEG that says 9,000 × 9,000 and has 96 × 64',
    declared: 'image/jpeg',
    make: async () => jpegClaiming(await scene().jpeg().toBuffer(), 9000, 9000),
  },
  { name: 'progressive JPEG with 2,000 more scans', declared: 'image/jpeg', make: () => repeatedScans(2000) },
  {
    name: 'PNG with 200 MB of packed text',
    declared: 'image/png',
    make: () => pngWith('zTXt', packedText(200_000_000)),
  },
  {
    name: 'PNG with 200 MB of packed profile',
    declared: 'image/png',
    make: () => pngWith('iCCP', packedText(200_000_000)),
  },
  {
    name: 'PNG with 100,000 chunks',
    declared: 'image/png',
    make: async () => {
      const png = await scene().png().toBuffer();
      const chunk = pngChunk('tEXt', Buffer.from('a\0b', 'latin1'));
      return Buffer.concat([png.subarray(0, 33), ...Array.from({ length: 100_000 }, () => chunk), png.subarray(33)]);
    },
  },
];

/** Large pictures that are allowed, and must be shown. */
export const LARGE: readonly Hostile[] = [
  { name: 'PNG of 100 megapixels', declared: 'image/png', make: () => blackPng(10_000, 10_000) },
  {
    name: 'JPEG of 99 megapixels',
    declared: 'image/jpeg',
    make: () =>
      sharp({ create: { width: 11_000, height: 9000, channels: 3, background: '#445566' } })
        .jpeg()
        .toBuffer(),
  },
  {
    name: 'progressive JPEG of 99 megapixels',
    declared: 'image/jpeg',
    make: () =>
      sharp({ create: { width: 11_000, height: 9000, channels: 3, background: '#445566' } })
        .jpeg({ progressive: true })
        .toBuffer(),
  },
  {
    name: 'lossless WebP of 100 megapixels',
    declared: 'image/webp',
    make: () =>
      sharp({ create: { width: 16_000, height: 6250, channels: 3, background: '#445566' } })
        .webp({ lossless: true, effort: 0 })
        .toBuffer(),
  },
];

/** A WebP of so many moving pictures, each 64 × 48. */
export async function movingWebp(frames: number): Promise<Buffer> {
  const pictures = await Promise.all(
    Array.from({ length: frames }, (_, n) =>
      sharp({ create: { width: 64, height: 48, channels: 3, background: { r: n % 256, g: 90, b: 120 } } })
        .png()
        .toBuffer(),
    ),
  );
  return sharp(pictures, { join: { animated: true } })
    .webp()
    .toBuffer();
}

/** A good JPEG that is something else as well: a script in its comment, an archive behind its end. */
export async function polyglot(): Promise<Buffer> {
  const jpeg = await scene(320, 200).jpeg().toBuffer();
  const comment = Buffer.from('*/=1;alert("AS-SCRIPT");/*<script>alert("AS-HTML")</script>', 'latin1');
  const segment = Buffer.alloc(4 + comment.length);
  segment.writeUInt16BE(0xfffe, 0);
  segment.writeUInt16BE(comment.length + 2, 2);
  comment.copy(segment, 4);
  return Buffer.concat([jpeg.subarray(0, 2), segment, jpeg.subarray(2), Buffer.from('PK\x03\x04AS-ARCHIVE', 'latin1')]);
}

/** The numbers of a linear congruential generator (Numerical Recipes, 2nd ed., 7.1), the same on every run. */
export function seeded(seed: number): (below: number) => number {
  let state = seed >>> 0;
  return (below) => {
    state = (Math.imul(state, 1_664_525) + 1_013_904_223) >>> 0;
    return Math.floor((state / 2 ** 32) * below);
  };
}

/** One damaged copy: cut off, bits turned, bytes replaced, or a stretch taken out or doubled. */
export function mutated(whole: Buffer, next: (below: number) => number): Buffer {
  const at = next(whole.length);
  switch (next(5)) {
    case 0:
      return whole.subarray(0, at);
    case 1: {
      const copy = Buffer.from(whole);
      for (let hit = 0; hit < 8; hit += 1) {
        const place = next(copy.length);
        copy[place] = (copy[place] ?? 0) ^ (1 << next(8));
      }
      return copy;
    }
    case 2: {
      const copy = Buffer.from(whole);
      for (let hit = 0; hit < 12; hit += 1) copy[next(copy.length)] = next(256);
      return copy;
    }
    case 3:
      return Buffer.concat([whole.subarray(0, at), whole.subarray(at + 1 + next(64))]);
    default:
      return Buffer.concat([whole.subarray(0, at), whole.subarray(Math.max(0, at - next(200)))]);
  }
}
