import exifr from 'exifr';
import sharp from 'sharp';
import { describe, expect, it } from 'vitest';
import { withExif } from '../../../../tests/support/exif-writer.js';
import { exifBlock, uprightBlock, withBlock } from './exif.js';

const FIELDS = { orientation: 6, make: 'Halde', model: 'Halde 3', takenAt: '2026:03:02 08:41:07' } as const;

function plain(colour: string): Promise<Buffer> {
  return sharp({ create: { width: 8, height: 6, channels: 3, background: colour } })
    .jpeg()
    .toBuffer();
}

function buffer(bytes: Buffer): ArrayBuffer {
  return new Uint8Array(bytes).buffer;
}

// What comes out is read by exifr and sharp, which had no hand in it.
describe('what the camera wrote', () => {
  it.each(['little', 'big'] as const)(
    'goes into another picture, turned upright, in %s-endian order',
    async (byteOrder) => {
      const block = exifBlock(buffer(withExif(await plain('red'), { ...FIELDS, byteOrder })));
      if (block === undefined) throw new Error('the block was not found');
      const made = Buffer.from(withBlock(buffer(await plain('blue')), uprightBlock(block)));
      expect(await exifr.parse(made, { translateValues: false })).toMatchObject({ Orientation: 1, Model: 'Halde 3' });
      const { width, height, orientation } = await sharp(made).metadata();
      expect([width, height, orientation]).toEqual([8, 6, 1]);
      // The block that was read is not touched.
      expect(await exifr.orientation(withExif(await plain('red'), { ...FIELDS, byteOrder }))).toBe(6);
    },
  );

  it('is not found where there is none, in other files, and where the file breaks off', async () => {
    expect(exifBlock(buffer(await plain('red')))).toBeUndefined();
    expect(exifBlock(new ArrayBuffer(0))).toBeUndefined();
    expect(exifBlock(buffer(Buffer.from('\u0000\u0000\u0000\u001cftypheic')))).toBeUndefined();
    const whole = withExif(await plain('red'), FIELDS);
    for (let length = 0; length < 60; length += 1) expect(exifBlock(buffer(whole.subarray(0, length)))).toBeUndefined();
  });

  it('that makes no sense is left as it is', () => {
    const odd = new Uint8Array([
      0xff, 0xe1, 0, 20, 0x45, 0x78, 0x69, 0x66, 0, 0, 0x49, 0x49, 42, 0, 255, 255, 255, 127,
    ]);
    expect(uprightBlock(odd)).toEqual(odd);
  });
});
