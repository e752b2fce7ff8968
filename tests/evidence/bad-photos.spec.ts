import { randomUUID } from 'node:crypto';
import { request as httpRequest } from 'node:http';
import type { AddressInfo } from 'node:net';
import sharp from 'sharp';
import { describe, expect, it } from 'vitest';
import { withExif, type ExifFields } from '../support/exif-writer.js';
import { movingWebp, polyglot, REFUSED_AT_THE_DOOR } from '../support/hostile-photos.js';
import { aPhoto, photoDesk, problem } from '../support/photo-desk.js';
import { digestOf, keptFiles, signedIn } from '../support/photo-scene.js';

const desk = photoDesk();

let shade = 0;
async function jpegWith(fields: ExifFields): Promise<Buffer> {
  shade += 1;
  const background = { r: shade, g: 200, b: 33 };
  const jpeg = await sharp({ create: { width: 64, height: 48, channels: 3, background } })
    .jpeg()
    .toBuffer();
  return withExif(jpeg, fields);
}

interface Reading {
  readonly capture: { readonly capturedAt?: string } | null;
  readonly position: unknown;
  readonly doubts: { readonly kind: string }[];
}

async function readingOf(content: Buffer): Promise<Reading> {
  const { status, id } = await desk.put(content);
  expect(status).toBe(201);
  await desk.photos.workOff();
  const analyst = await signedIn(desk.data(), desk.place, ['analyst']);
  const seen = (await desk.get(`/v1/photos/${id}`, analyst)).json<{ state: string; reading: Reading }>();
  expect(seen.state).toBe('read');
  return seen.reading;
}

describe('what is no photo, or too much of one', () => {
  it.each(REFUSED_AT_THE_DOOR.map(({ name, declared, make }) => [name, declared, make] as const))(
    'is refused with a sentence, and nothing of it is kept: %s',
    async (_name, declared, make) => {
      const before = await keptFiles(desk.photos);
      const answer = await problem(desk.put(await make(), { headers: { 'content-type': declared } }));
      expect(['415 photo-not-an-image', '422 photo-too-many-pixels']).toContain(answer);
      expect([await keptFiles(desk.photos), await desk.data().rows('select 1 from exhibit')]).toEqual([before, []]);
    },
  );

  it('is refused at 300 MB, told beforehand or not', async () => {
    await desk.photos.app.listen(0, '127.0.0.1');
    const { port } = desk.photos.app.getHttpServer().address() as AddressInfo;
    const before = await keptFiles(desk.photos);
    const path = `/v1/inspections/${desk.place.inspection}/photos/${randomUUID()}?item=carton-front&shows=wide`;
    const digest = digestOf(Buffer.from('never mind'));
    const piece = Buffer.alloc(1024 * 1024, 0xff);
    const send = (length: Readonly<Record<string, string>>) =>
      new Promise<{ status: number; sent: number }>((settle, fail) => {
        const seen: { sent: number; status?: number } = { sent: 0 };
        const headers = { ...desk.crew, 'content-type': 'image/jpeg', 'content-digest': digest, ...length };
        const sending = httpRequest({ port, path, method: 'PUT', headers }, (answer) => {
          seen.status = answer.statusCode ?? 0;
          answer.resume();
          sending.destroy();
          settle({ status: seen.status, sent: seen.sent });
        });
        sending.on('error', (error) => (seen.status === undefined ? fail(error) : undefined));
        const more = (): void => {
          while (seen.sent < 300 && seen.status === undefined) {
            seen.sent += 1;
            if (!sending.write(piece)) return void sending.once('drain', () => setImmediate(more));
          }
          if (seen.status === undefined) sending.end();
        };
        more();
      });
    const told = await send({ 'content-length': String(300 * 1024 * 1024) });
    const untold = await send({ 'transfer-encoding': 'chunked' });
    expect([told.status, untold.status]).toEqual([413, 413]);
    await expect.poll(() => keptFiles(desk.photos)).toEqual(before);
  });
});

describe('a photo that is a script and an archive as well', () => {
  it('is kept as it is, only ever saved by a browser, and shown without the rest', async () => {
    const content = await polyglot();
    const { status, id } = await desk.put(content);
    expect(status).toBe(201);
    await desk.photos.workOff();
    const analyst = await signedIn(desk.data(), desk.place, ['analyst']);
    const original = await desk.get(`/v1/photos/${id}/original`, analyst);
    expect(original.rawPayload.equals(content)).toBe(true);
    expect(original.headers).toMatchObject({
      'content-type': 'image/jpeg',
      'content-disposition': expect.stringMatching(/^attachment/) as string,
      'content-security-policy': `default-src 'none'; sandbox`,
      'x-content-type-options': 'nosniff',
    });
    for (const size of [256, 1024, 2048]) {
      const shown = await desk.get(`/v1/photos/${id}/renditions/${size}`, desk.crew);
      expect(shown.statusCode).toBe(200);
      for (const mark of ['AS-SCRIPT', 'AS-HTML', 'AS-ARCHIVE', 'EXIF', 'ICCP', 'XMP ']) {
        expect(shown.rawPayload.includes(mark)).toBe(false);
      }
    }
  });
});

describe('odd metadata', () => {
  it('of 60 kB costs neither the photo nor what else is in it', async () => {
    const takenAt = '2026:03:02 08:30:00';
    const reading = await readingOf(
      await jpegWith({ takenAt, takenOffset: '+00:00', makerNote: Buffer.alloc(60_000, 0x5a) }),
    );
    expect(reading.capture?.capturedAt).toBe('2026-03-02T08:30:00.000Z');
  });

  it.each(['1970:01:01 00:00:00', '2099:12:31 23:59:59'])('dates of %s are doubted, not believed', async (takenAt) => {
    const { doubts } = await readingOf(await jpegWith({ takenAt, takenOffset: '+00:00' }));
    expect(doubts.map(({ kind }) => kind)).toContain('clock');
  });

  it.each(['0000:00:00 00:00:00', '    :  :     :  :  ', '2026:13:45 99:99:99', '\u00ff\u00fe\u0001 garbage'])(
    'dates like "%s" count as none',
    async (takenAt) => {
      expect((await readingOf(await jpegWith({ takenAt }))).capture).toBeNull();
    },
  );

  it.each([
    ['0 and 0', { latitude: 0, longitude: 0 }],
    ['91° north', { latitude: 91, longitude: 8 }],
    ['181° east', { latitude: 48, longitude: 181 }],
  ])('a position of %s is no place', async (_what, gps) => {
    const { position, doubts } = await readingOf(await jpegWith({ gps }));
    expect(typeof position).toBe('string');
    expect(doubts.map(({ kind }) => kind)).not.toContain('far from the address');
  });
});

it('a photo that moves is shown by its first picture', async () => {
  const { status, id } = await desk.put(await movingWebp(40), { headers: { 'content-type': 'image/webp' } });
  expect(status).toBe(201);
  await desk.photos.workOff();
  const shown = await desk.get(`/v1/photos/${id}/renditions/256`, desk.crew);
  expect(await sharp(shown.rawPayload).metadata()).toMatchObject({ width: 64, height: 48 });
  expect((await sharp(shown.rawPayload).metadata()).pages ?? 1).toBe(1);
});

it('the same small photo under many ids is one photo', async () => {
  const content = await aPhoto();
  const answers = await Promise.all(Array.from({ length: 40 }, () => desk.put(content)));
  expect(new Set(answers.map(({ body }) => body['id'])).size).toBe(1);
  expect(await desk.data().rows('select photos::int from exhibit_usage')).toEqual([{ photos: 1 }]);
});
