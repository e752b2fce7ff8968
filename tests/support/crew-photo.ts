import sharp from 'sharp';
import { withExif } from './exif-writer.js';

/** A photo as a phone held upright writes it: lying on its side, with the turn, the phone and the place in its metadata. */
export async function sidewaysPhoto(): Promise<Buffer> {
  const noise = { type: 'gaussian', mean: 120, sigma: 30 } as const;
  const plain = sharp({ create: { width: 1000, height: 750, channels: 3, background: '#778', noise } }).resize(
    4000,
    3000,
  );
  return withExif(await plain.jpeg({ quality: 80 }).toBuffer(), {
    orientation: 6,
    make: 'Halde',
    model: 'Halde 3',
    takenAt: '2026:03:02 08:41:07',
    takenOffset: '-05:00',
    gps: { latitude: 40.4462, longitude: -79.982267 },
  });
}
