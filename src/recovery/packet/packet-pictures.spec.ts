import sharp from 'sharp';
import { describe, expect, it } from 'vitest';
import { packetPicture } from './packet-pictures.js';

const LEFT_HALF = {
  polygon: [
    [0.1, 0.1],
    [0.4, 0.1],
    [0.4, 0.9],
    [0.1, 0.9],
  ],
} as const;

async function pixelsOf(picture: Awaited<ReturnType<typeof packetPicture>>) {
  if (!picture.ok) throw new Error(picture.because);
  const { data, info } = await sharp(picture.jpeg).raw().toBuffer({ resolveWithObject: true });
  const isRed = (x: number, y: number) => {
    const [r = 0, g = 0] = data.subarray((y * info.width + x) * info.channels);
    return r > 150 && g < 100;
  };
  return { isRed, width: info.width, height: info.height, marks: picture.marks };
}

describe('a picture of a packet', () => {
  const photo = () =>
    sharp({ create: { width: 1000, height: 800, channels: 3, background: '#607080' } })
      .webp()
      .toBuffer();

  it('has the marked regions outlined, and only there', async () => {
    const content = await photo();
    const { isRed, width, height, marks } = await pixelsOf(await packetPicture(content, [LEFT_HALF]));
    expect([width, height, marks]).toEqual([1000, 800, 1]);
    expect([isRed(100, 400), isRed(400, 400), isRed(250, 80), isRed(250, 720)]).toEqual([true, true, true, true]);
    expect([isRed(250, 400), isRed(700, 400), isRed(50, 400)]).toEqual([false, false, false]);
  });

  it('without marks is what it was, and with them the rendition still is', async () => {
    const content = await photo();
    const plain = await packetPicture(content);
    await packetPicture(content, [LEFT_HALF]);
    expect(content.equals(await photo())).toBe(true);
    expect(plain).toEqual(await packetPicture(content, []));
    expect((await pixelsOf(plain)).marks).toBeUndefined();
  });

  it('takes marks on transparent and grey pictures too', async () => {
    const clear = await sharp({ create: { width: 60, height: 40, channels: 4, background: '#60708080' } })
      .png()
      .toBuffer();
    const grey = await sharp(await photo())
      .greyscale()
      .png()
      .toBuffer();
    for (const content of [clear, grey]) {
      const picture = await packetPicture(content, [LEFT_HALF]);
      expect(picture).toMatchObject({ ok: true, marks: 1 });
    }
  });
});
