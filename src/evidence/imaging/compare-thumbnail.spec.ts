import sharp from 'sharp';
import { describe, expect, it } from 'vitest';
import { FILE_LIMITS } from '../domain/file-doubts.js';
import type { GreyPicture } from '../domain/sharpness.js';
import { compareThumbnail } from './compare-thumbnail.js';
import { readContainer } from './photo-metadata.js';

/** Soft shapes of many sizes; another seed is another scene. */
async function scene(seed: number, width = 1024, height = 768): Promise<GreyPicture> {
  let state = seed;
  const next = () => (state = (state * 1_103_515_245 + 12_345) % 2_147_483_648) / 2_147_483_648;
  const coarse = Buffer.from(Array.from({ length: 16 * 12 }, () => Math.floor(next() * 256)));
  const pixels = await sharp(coarse, { raw: { width: 16, height: 12, channels: 1 } })
    .resize(width, height, { fit: 'fill' })
    .toColourspace('b-w')
    .raw()
    .toBuffer();
  return { pixels, width, height };
}

const raw = ({ pixels, width, height }: GreyPicture) => sharp(pixels, { raw: { width, height, channels: 1 } });
const preview = async (picture: GreyPicture) =>
  raw(picture).resize(160, 120, { fit: 'fill' }).jpeg({ quality: 75 }).toBuffer();

/** An APP1 segment whose TIFF block has an empty IFD0 and an IFD1 that points to a preview (TIFF 6.0 section 2, Exif 2.32 4.6.4). */
function withPreview(jpeg: Buffer, thumbnail: Buffer): Buffer {
  const tiff = Buffer.alloc(8 + 6 + 2 + 3 * 12 + 4);
  tiff.write('II*\0', 0, 'latin1');
  tiff.writeUInt32LE(8, 4);
  tiff.writeUInt32LE(14, 10);
  tiff.writeUInt16LE(3, 14);
  [
    [0x0103, 3, 6],
    [0x0201, 4, tiff.length],
    [0x0202, 4, thumbnail.length],
  ].forEach(([tag = 0, type = 0, value = 0], row) => {
    const at = 16 + row * 12;
    tiff.writeUInt16LE(tag, at);
    tiff.writeUInt16LE(type, at + 2);
    tiff.writeUInt32LE(1, at + 4);
    tiff.writeUInt32LE(value, at + 8);
  });
  const body = Buffer.concat([Buffer.from('Exif\0\0', 'latin1'), tiff, thumbnail]);
  const head = Buffer.from([0xff, 0xe1, 0, 0]);
  head.writeUInt16BE(body.length + 2, 2);
  return Buffer.concat([jpeg.subarray(0, 2), head, body, jpeg.subarray(2)]);
}

describe('the preview inside a file', () => {
  it('comes out of the metadata, and not where its place lies outside the file', async () => {
    const photo = await raw(await scene(3))
      .jpeg()
      .toBuffer();
    const small = await preview(await scene(3));
    const found = await readContainer(withPreview(photo, small));
    expect(found.thumbnail?.equals(small)).toBe(true);
    const broken = withPreview(photo, small);
    // The length of the preview, in the third entry of IFD1.
    broken.writeUInt32LE(60_000, 2 + 4 + 6 + 16 + 2 * 12 + 8);
    expect((await readContainer(broken)).thumbnail).toBeUndefined();
  });

  it.each([
    ['as it is', async (photo: GreyPicture) => preview(photo)],
    ['unturned', async (photo: GreyPicture) => raw(photo).resize(160, 120).rotate(270).jpeg().toBuffer()],
    [
      'with black bars',
      async (photo: GreyPicture) =>
        raw(photo)
          .resize(160, 90, { fit: 'cover' })
          .extend({ top: 15, bottom: 15, background: '#000' })
          .jpeg()
          .toBuffer(),
    ],
    ['cut square', async (photo: GreyPicture) => raw(photo).resize(120, 120, { fit: 'cover' }).jpeg().toBuffer()],
  ])('of the same photo %s is known again', async (_how, make) => {
    const photo = await scene(7);
    const { distance = 256 } = (await compareThumbnail(await make(photo), photo)) ?? {};
    expect(distance).toBeLessThan(FILE_LIMITS.thumbnailDistance / 2);
  });

  it('of another scene is told apart', async () => {
    const photo = await scene(7);
    for (const seed of [21, 22, 23, 24]) {
      const { distance = 0 } = (await compareThumbnail(await preview(await scene(seed)), photo)) ?? {};
      expect(distance).toBeGreaterThan(FILE_LIMITS.thumbnailDistance);
    }
  });

  it('without anything to be seen is not compared', async () => {
    const flat = { pixels: new Uint8Array(1024 * 768).fill(9), width: 1024, height: 768 };
    expect(await compareThumbnail(await preview(flat), await scene(7))).toEqual({ width: 160, height: 120 });
    expect(await compareThumbnail(await preview(await scene(7)), flat)).toEqual({ width: 160, height: 120 });
  });

  it('that is broken says nothing about the photo', async () => {
    expect(await compareThumbnail(Buffer.from([0xff, 0xd8, 0xff, 0, 1, 2]), await scene(7))).toBeUndefined();
  });
});
