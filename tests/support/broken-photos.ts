import { crc32, deflateSync } from 'node:zlib';

/** Files that hurt careless readers, made from their descriptions. */

/**
 * 80 bytes: an ftyp box that says HEIC and a meta box that holds a box of length 0 which does not end the file. A reader that steps
 * on by the length of each box never gets anywhere.
 */
export function loopingHeic(): Buffer {
  const file = Buffer.alloc(80);
  file.writeUInt32BE(24, 0);
  file.write('ftypheic', 4, 'latin1');
  file.write('mif1heic', 16, 'latin1');
  file.writeUInt32BE(56, 24);
  file.write('meta', 28, 'latin1');
  // Version and flags (4 bytes of 0), then the box of length 0.
  file.write('hdlr', 40, 'latin1');
  return file;
}

/** A whole, valid PNG of one bit a pixel, all black: 30,000 × 30,000 is 900 megapixels in about 110 KB. */
export function blackPng(width: number, height: number): Buffer {
  const header = Buffer.alloc(13);
  header.writeUInt32BE(width, 0);
  header.writeUInt32BE(height, 4);
  header.set([1, 0, 0, 0, 0], 8);
  const rows = deflateSync(Buffer.alloc((1 + Math.ceil(width / 8)) * height), { level: 9 });
  return Buffer.concat([
    Buffer.from('\x89PNG\r\n\x1a\n', 'latin1'),
    pngChunk('IHDR', header),
    pngChunk('IDAT', rows),
    pngChunk('IEND', Buffer.alloc(0)),
  ]);
}

/** A PNG whose header claims a size that nothing in the file supports. */
export function lyingPng(width: number, height: number): Buffer {
  const header = Buffer.alloc(13);
  header.writeUInt32BE(width, 0);
  header.writeUInt32BE(height, 4);
  header.set([8, 2, 0, 0, 0], 8);
  return Buffer.concat([
    Buffer.from('\x89PNG\r\n\x1a\n', 'latin1'),
    pngChunk('IHDR', header),
    pngChunk('IDAT', deflateSync(Buffer.alloc(10))),
    pngChunk('IEND', Buffer.alloc(0)),
  ]);
}

/** One chunk: length, type, content, CRC of type and content (ISO/IEC 15948 5.3). */
export function pngChunk(type: string, content: Buffer): Buffer {
  const body = Buffer.concat([Buffer.from(type, 'latin1'), content]);
  const framed = Buffer.alloc(body.length + 8);
  framed.writeUInt32BE(content.length, 0);
  body.copy(framed, 4);
  framed.writeUInt32BE(crc32(body), body.length + 4);
  return framed;
}
