import sharp from 'sharp';
import { describe, expect, it } from 'vitest';
import { declaredSize, inMemory } from './declared-size.js';
import { tooManyPixels } from './photo-limits.js';

const grey = (width: number, height: number) =>
  sharp({ create: { width, height, channels: 3, background: '#808080' } });

/** IHDR of ISO/IEC 15948 11.2.2 and nothing else. */
function pngHeader(width: number, height: number): Buffer {
  const head = Buffer.alloc(33);
  head.write('\x89PNG\r\n\x1a\n', 'latin1');
  head.writeUInt32BE(13, 8);
  head.write('IHDR', 12, 'latin1');
  head.writeUInt32BE(width, 16);
  head.writeUInt32BE(height, 20);
  head.set([8, 2], 24);
  return head;
}

// The reference is libvips (through sharp), which wrote the files.
describe('the size that a header declares', () => {
  it.each([
    ['image/jpeg', grey(301, 40).jpeg()],
    ['image/jpeg', grey(301, 40).jpeg({ progressive: true })],
    [
      'image/jpeg',
      grey(301, 40)
        .withMetadata({ exif: { IFD0: { Make: 'x'.repeat(3000) } } })
        .jpeg(),
    ],
    ['image/png', grey(301, 40).png()],
    ['image/webp', grey(301, 40).webp()],
    ['image/webp', grey(301, 40).webp({ lossless: true })],
    ['image/webp', grey(301, 40).withMetadata().webp({ lossless: true })],
  ] as const)('is read from %s', async (mediaType, made) => {
    const content = await made.toBuffer();
    expect(await declaredSize(inMemory(content), mediaType)).toEqual({ width: 301, height: 40 });
  });

  it('reads an extended WebP header (VP8X)', async () => {
    const content = await grey(301, 40)
      .ensureAlpha(0.5)
      .withExif({ IFD0: { Make: 'Halde' } })
      .webp()
      .toBuffer();
    expect(content.toString('latin1', 12, 16)).toBe('VP8X');
    expect(await declaredSize(inMemory(content), 'image/webp')).toEqual({ width: 301, height: 40 });
  });

  it('is unknown for a JPEG cut anywhere before its scan, and never throws', async () => {
    const content = await grey(64, 64).jpeg().toBuffer();
    const scan = content.indexOf(Buffer.from([0xff, 0xda]));
    for (let length = 0; length <= scan; length += 1) {
      expect(await declaredSize(inMemory(content.subarray(0, length)), 'image/jpeg')).toBeUndefined();
    }
    expect(await declaredSize(inMemory(content.subarray(0, scan + 4)), 'image/jpeg')).toEqual({
      width: 64,
      height: 64,
    });
  });

  it('is unknown for a JPEG of height 0, a short PNG and a WebP of nonsense', async () => {
    const content = await grey(64, 64).jpeg().toBuffer();
    const frame = content.indexOf(Buffer.from([0xff, 0xc0]));
    content.writeUInt16BE(0, frame + 5);
    expect(await declaredSize(inMemory(content), 'image/jpeg')).toBeUndefined();
    expect(await declaredSize(inMemory(pngHeader(10, 10).subarray(0, 20)), 'image/png')).toBeUndefined();
    expect(
      await declaredSize(inMemory(Buffer.from('RIFF\0\0\0\0WEBPVP9 0123456789abcdef', 'latin1')), 'image/webp'),
    ).toBeUndefined();
  });

  it('gives up on an endless row of segments', async () => {
    const segment = Buffer.from([0xff, 0xe1, 0, 2]);
    const content = Buffer.concat([Buffer.from([0xff, 0xd8]), ...Array.from({ length: 5000 }, () => segment)]);
    expect(await declaredSize(inMemory(content), 'image/jpeg')).toBeUndefined();
  });
});

describe('the limits on pixels', () => {
  it.each([
    [60_000, 60_000, true],
    [16_385, 10, true],
    [16_384, 10, false],
    // sharp's own default limit, 0x3FFF × 0x3FFF (sharp documentation, constructor), is above ours.
    [16_383, 16_383, true],
    [2_000_000, 49, true],
    [10_000, 10_000, false],
    [10_000, 10_001, true],
  ])('a photo of %i × %i is refused: %s', async (width, height, refused) => {
    const size = await declaredSize(inMemory(pngHeader(width, height)), 'image/png');
    expect(size).toEqual({ width, height });
    expect(tooManyPixels({ width, height }) !== undefined).toBe(refused);
  });
});
