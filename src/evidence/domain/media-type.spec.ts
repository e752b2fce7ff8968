import { describe, expect, it } from 'vitest';
import { sniffMediaType } from './media-type.js';

// Signatures as read in sindresorhus/file-type source/index.js; GIF, TIFF, PDF and ZIP from memory.
const bytes = (...parts: (string | number[])[]): Uint8Array =>
  Buffer.concat(parts.map((part) => (typeof part === 'string' ? Buffer.from(part, 'latin1') : Buffer.from(part))));

/** An ftyp box of ISO/IEC 14496-12 4.3: length, 'ftyp', major brand, minor version, compatible brands. */
const ftyp = (major: string, ...compatible: string[]): Uint8Array =>
  bytes([0, 0, 0, 16 + 4 * compatible.length], 'ftyp', major, [0, 0, 0, 0], ...compatible);

const PNG = bytes([0x89], 'PNG\r\n', [0x1a], '\n', [0, 0, 0, 13], 'IHDR');

describe('the type of a photo', () => {
  it.each([
    ['image/jpeg', bytes([0xff, 0xd8, 0xff, 0xe0])],
    ['image/png', PNG],
    ['image/webp', bytes('RIFF', [36, 0, 0, 0], 'WEBPVP8 ')],
    ['image/heic', ftyp('heic', 'mif1', 'heic')],
    ['image/heic', ftyp('heix')],
    ['image/heic', ftyp('mif1', 'heic', 'hevc')],
    ['image/heif', ftyp('mif1', 'mif1')],
  ])('is %s by its first bytes', (mediaType, head) => {
    expect(sniffMediaType(head)).toEqual({ ok: true, mediaType });
  });

  it.each([
    ['AVIF', ftyp('avif', 'mif1')],
    ['AVIF', ftyp('avis')],
    ['AVIF', ftyp('mif1', 'mif1', 'avif', 'miaf')],
    ['HEIF sequence', ftyp('hevc', 'heic')],
    ['HEIF sequence', ftyp('msf1', 'hevc')],
    ['video', ftyp('isom', 'mp42')],
    ['video', ftyp('qt  ')],
    ['GIF', bytes('GIF89a')],
    ['TIFF', bytes('II*\0')],
    ['TIFF', bytes('MM\0*')],
    ['BMP', bytes('BM', [0, 0, 0, 0])],
    ['PDF', bytes('%PDF-1.7')],
    ['ZIP', bytes('PK', [3, 4])],
    ['SVG', bytes('<?xml version="1.0"?><svg xmlns="http://www.w3.org/2000/svg"/>')],
    ['SVG', bytes('  <SVG onload="x()">')],
    ['HTML', bytes('<!DOCTYPE html><html><body>')],
    ['XML', bytes('<?xml version="1.0"?><a/>')],
    ['text', bytes('this is a photo, honestly')],
    ['unknown', bytes([1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11])],
    ['unknown', bytes('RIFF', [4, 0, 0, 0], 'WAVE')],
    ['nothing', bytes()],
  ])('refuses %s with a sentence', (found, head) => {
    const sniffed = sniffMediaType(head);
    expect(sniffed).toMatchObject({ ok: false, found });
    expect(sniffed.ok ? '' : sniffed.detail).toMatch(/^[A-Z].*\.$/);
  });

  it('does not look for brands behind the end of the box', () => {
    expect(sniffMediaType(bytes([0, 0, 0, 16], 'ftypheic', [0, 0, 0, 0], 'avif'))).toEqual({
      ok: true,
      mediaType: 'image/heic',
    });
  });

  it('stands any cut of any head', () => {
    for (const head of [PNG, ftyp('mif1', 'avif'), bytes('RIFF', [36, 0, 0, 0], 'WEBP')]) {
      for (let length = 0; length < head.length; length += 1) {
        expect(typeof sniffMediaType(head.subarray(0, length)).ok).toBe('boolean');
      }
    }
  });
});
