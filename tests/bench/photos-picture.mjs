// Makes the photos of the photos benchmark: soft shapes of two sizes under fine grain, about as many bytes as a phone's. The same pixels
// each time but for the version of the libraries.
import sharp from 'sharp';

/**
 * @param {{ width: number, height: number, profile: boolean }} options with a profile the photo is in Display P3, as phones write it
 * @returns {Promise<Buffer>} JPEG of quality 90
 */
export async function phonePhoto({ width, height, profile }) {
  const next = numbers(20_261_125);
  const coarse = await soft(24, 18, { width, height, next });
  const middle = await soft(240, 180, { width, height, next });
  const grain = Int8Array.from({ length: 65_536 }, () => Math.round((next() + next() + next() - 1.5) * 14));
  let at = 0;
  for (let n = 0; n < coarse.length; n += 1) {
    // Pixels that follow each other get grain from far apart in the table.
    at = (at + 40_503) & 0xffff;
    coarse[n] = Math.min(255, Math.max(0, (coarse[n] * 3 + middle[n]) / 4 + grain[at]));
  }
  const image = sharp(coarse, { raw: { width, height, channels: 3 }, limitInputPixels: 100e6 });
  const exif = {
    IFD0: { Make: 'Halde', Model: 'Halde 3' },
    IFD2: { DateTimeOriginal: '2026:03:02 09:30:00', OffsetTimeOriginal: '+01:00' },
  };
  return (profile ? image.withIccProfile('p3') : image).withExif(exif).jpeg({ quality: 90 }).toBuffer();
}

async function soft(across, down, { width, height, next }) {
  const data = Buffer.from(Array.from({ length: across * down * 3 }, () => Math.floor(20 + next() * 215)));
  return sharp(data, { raw: { width: across, height: down, channels: 3 } })
    .resize(width, height, { kernel: 'cubic', fit: 'fill' })
    .raw()
    .toBuffer();
}

/** From 0 to 1 by Park and Miller's generator (Communications of the ACM 31(10), 1988). */
function numbers(seed) {
  let state = seed;
  return () => (state = (state * 48_271) % 2_147_483_647) / 2_147_483_647;
}
