import { createHash, randomUUID } from 'node:crypto';
import sharp from 'sharp';
import { afterAll, beforeAll, beforeEach, describe, expect, it } from 'vitest';
import { withExif } from '../support/exif-writer.js';
import { crewOf, digestOf, photoApp, placeWithInspection, signedIn, type Place } from '../support/photo-scene.js';
import { freshDatabase } from '../support/test-database.js';

/** A process that answers requests and works off jobs, as the service is by default. */
const data = freshDatabase();
let photos: Awaited<ReturnType<typeof photoApp>>;
let place: Place;
let crew: { authorization: string };
beforeAll(async () => {
  photos = await photoApp(data(), { AS_NOTED_RUNS: 'both', AS_NOTED_PHOTO_RECEIPT_SECONDS: '20' });
});
beforeEach(async () => {
  place = await placeWithInspection(data());
  crew = await crewOf(data(), place);
});
afterAll(() => photos.close());

async function put(content: Buffer, more = '', shows = 'wide') {
  const answer = await photos.app.inject({
    method: 'PUT',
    url: `/v1/inspections/${place.inspection}/photos/${randomUUID()}?item=carton-front&shows=${shows}${more}`,
    headers: { ...crew, 'content-type': 'image/jpeg', 'content-digest': digestOf(content) },
    payload: content,
  });
  return answer.json<Record<string, unknown> & { id: string }>();
}

const grey = (level: number) =>
  sharp({ create: { width: 320, height: 240, channels: 3, background: { r: level, g: level, b: level } } })
    .jpeg()
    .toBuffer();

/** Blocks of many sizes and levels, 1600 × 1200. */
function blocks(): Promise<Buffer> {
  let state = 5;
  const next = (below: number) => (state = (state * 1_103_515_245 + 12_345) % 2_147_483_648) % below;
  const [width, height] = [1600, 1200];
  const pixels = Buffer.alloc(width * height, 128);
  for (let block = 0; block < 160; block += 1) {
    const [x, y, w, h, level] = [next(width), next(height), 25 + next(200), 25 + next(200), next(256)];
    for (let row = y; row < Math.min(height, y + h); row += 1) {
      pixels.fill(level, row * width + x, row * width + Math.min(width, x + w));
    }
  }
  return sharp(pixels, { raw: { width, height, channels: 1 } })
    .png()
    .toBuffer();
}

describe('the receipt of a photo', () => {
  it('tells the crew at once, in both languages, that a photo is no good', async () => {
    const content = await grey(20);
    const receipt = await put(content);
    expect(receipt).toMatchObject({ state: 'read', sha256: createHash('sha256').update(content).digest('hex') });
    const advice = receipt['advice'] as { flag: string; says: object; measured: number; threshold: number }[];
    expect(advice.map(({ flag }) => flag)).toEqual(['blurred', 'too dark', 'flat', 'too small']);
    for (const { says, measured, threshold } of advice) {
      expect(says).toEqual({ en: expect.stringMatching(/\.$/), es: expect.stringMatching(/\.$/) });
      expect([typeof measured, typeof threshold]).toEqual(['number', 'number']);
    }
  });

  it('comes with the sentence of a photo that cannot be opened', async () => {
    const jpeg = await grey(90);
    const start = jpeg.indexOf(Buffer.from([0xff, 0xda]));
    const broken = Buffer.concat([jpeg.subarray(0, start + 4), Buffer.alloc(40, 0xff)]);
    expect(await put(broken)).toMatchObject({ state: 'failed', failure: expect.stringMatching(/Take it again/) });
  });

  it('says of a close-up whether it shows more than the overview', async () => {
    const scene = await blocks();
    await put(await sharp(scene).jpeg().toBuffer());
    const flagsOf = async (content: Buffer) => {
      const { advice } = await put(content, '', 'close');
      return (advice as { flag: string }[]).map(({ flag }) => flag);
    };
    const again = await sharp(scene).modulate({ brightness: 1.1 }).jpeg({ quality: 70 }).toBuffer();
    expect(await flagsOf(again)).toContain('not nearer');
    const nearer = sharp(scene).extract({ left: 100, top: 60, width: 800, height: 600 }).resize(1600, 1200);
    expect(await flagsOf(await nearer.jpeg().toBuffer())).not.toContain('not nearer');
  });

  it('leaves place and distance to analysts', async () => {
    const jpeg = withExif(await grey(120), {
      takenAt: '2026:03:02 09:30:00',
      takenOffset: '+01:00',
      gps: { latitude: 40.4462, longitude: -79.982267 },
    });
    await data().rows(
      `update visit set address = address || '{"latitude":41.4462,"longitude":-79.982267}'::jsonb where id = $1`,
      [place.visit],
    );
    const { id } = await put(jpeg, `&takenAt=${encodeURIComponent('2026-03-02T12:30:00+01:00')}`);
    const seen = async (headers: { authorization: string }) => {
      const answer = await photos.app.inject({ url: `/v1/photos/${id}`, headers });
      return answer.json<{ reading: { doubts: { kind: string; measured: number }[]; fields: { field: string }[] } }>()
        .reading;
    };
    const [own, desk] = [await seen(crew), await seen(await signedIn(data(), place, ['analyst']))];
    expect(desk.doubts.map(({ kind, measured }) => [kind, measured])).toEqual([
      ['time disagrees', 180],
      // One degree of a great circle: 6,371,008.8 m × π / 180.
      ['far from the address', 111_195],
    ]);
    expect(own.doubts.map(({ kind }) => kind)).toEqual(['time disagrees']);
    expect(desk.fields.map(({ field }) => field)).toContain('GPSPosition');
    expect(own.fields.map(({ field }) => field)).not.toContain('GPSPosition');
    expect(JSON.stringify(own)).not.toContain('40.4');
  });
});
