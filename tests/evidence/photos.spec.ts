import { createHash, randomUUID } from 'node:crypto';
import { request as httpRequest } from 'node:http';
import type { AddressInfo } from 'node:net';
import sharp from 'sharp';
import { afterAll, beforeAll, beforeEach, describe, expect, it } from 'vitest';
import { lyingPng, loopingHeic } from '../support/broken-photos.js';
import { withExif } from '../support/exif-writer.js';
import {
  claimOn,
  crewOf,
  digestOf,
  keptFiles,
  photoApp,
  placeWithInspection,
  signedIn,
  type Place,
} from '../support/photo-scene.js';
import { freshDatabase } from '../support/test-database.js';

const data = freshDatabase();
let photos: Awaited<ReturnType<typeof photoApp>>;
let place: Place;
let crew: { authorization: string };

beforeAll(async () => {
  photos = await photoApp(data());
});
afterAll(() => photos.close());
beforeEach(async () => {
  place = await placeWithInspection(data());
  crew = await crewOf(data(), place);
});

let colour = 0;
/** A photo that no other call makes. */
async function aPhoto(): Promise<Buffer> {
  colour += 1;
  const background = { r: colour % 256, g: (colour * 7) % 256, b: 90 };
  const jpeg = await sharp({ create: { width: 64, height: 48, channels: 3, background } })
    .jpeg()
    .toBuffer();
  return withExif(jpeg, {
    orientation: 6,
    make: 'Halde',
    model: 'Halde 3',
    takenAt: '2026:03:02 09:30:00',
    takenOffset: '+01:00',
    gps: { latitude: 48.137154, longitude: 11.576124 },
  });
}

interface PutOptions {
  readonly id?: string;
  readonly inspection?: string;
  readonly query?: string;
  readonly headers?: Readonly<Record<string, string>>;
}

async function put(content: Buffer, options: PutOptions = {}) {
  const { id = randomUUID(), inspection = place.inspection, query = 'item=carton-front&shows=wide' } = options;
  const answer = await photos.app.inject({
    method: 'PUT',
    url: `/v1/inspections/${inspection}/photos/${id}?${query}`,
    headers: { ...crew, 'content-type': 'image/jpeg', 'content-digest': digestOf(content), ...options.headers },
    payload: content,
  });
  return { status: answer.statusCode, body: answer.json<Record<string, unknown>>(), headers: answer.headers, id };
}

const get = (url: string, headers: Readonly<Record<string, string>>) =>
  photos.app.inject({ method: 'GET', url, headers });

async function problem(answer: Promise<{ status: number; body: Record<string, unknown> }>) {
  const { status, body } = await answer;
  expect(String(body['detail'])).toMatch(/\.$/);
  return `${status} ${String(body['type']).replace('/problems/', '')}`;
}

describe('sending a photo', () => {
  it('keeps the bytes as they are and answers with a receipt', async () => {
    const content = await aPhoto();
    const { status, body, headers, id } = await put(content);
    const sha256 = createHash('sha256').update(content).digest('hex');
    expect(status).toBe(201);
    expect(headers['location']).toBe(`/v1/photos/${id}`);
    expect(body).toEqual({
      id,
      item: 'carton-front',
      shows: 'wide',
      sha256,
      bytes: content.length,
      receivedAt: '2026-03-02T09:00:00.000Z',
    });
    const analyst = await signedIn(data(), place, ['analyst']);
    const original = await get(`/v1/photos/${id}/original`, analyst);
    expect(original.rawPayload.equals(content)).toBe(true);
    expect(original.headers).toMatchObject({
      'content-type': 'image/jpeg',
      'content-disposition': `attachment; filename="photo-${id}.jpg"`,
      'content-security-policy': `default-src 'none'; sandbox`,
      'x-content-type-options': 'nosniff',
      'repr-digest': digestOf(content),
    });
    expect(photos.lines.filter(({ exhibit }) => exhibit === id)).toHaveLength(1);
  });

  it('gives the stored receipt when it is sent again, however often and at once', async () => {
    const content = await aPhoto();
    const id = randomUUID();
    const answers = await Promise.all(Array.from({ length: 6 }, () => put(content, { id })));
    expect(answers.map(({ status }) => status).sort((a, b) => a - b)).toEqual([200, 200, 200, 200, 200, 201]);
    expect(new Set(answers.map(({ body }) => JSON.stringify(body))).size).toBe(1);
    expect(await data().rows('select id from exhibit')).toEqual([{ id }]);
    expect(await data().rows(`select 1 from pgboss.job where name = 'read-photo'`)).toHaveLength(1);
  });

  it('refuses other bytes under the same id', async () => {
    const id = randomUUID();
    await put(await aPhoto(), { id });
    expect(await problem(put(await aPhoto(), { id }))).toBe('409 photo-id-taken');
    const [first, second] = await Promise.all([put(await aPhoto(), { id: randomUUID() }), put(await aPhoto(), { id })]);
    expect([first.status, second.status]).toEqual([201, 409]);
  });

  it('points to the first where the same photo comes under two ids', async () => {
    const content = await aPhoto();
    const first = await put(content);
    const second = await put(content, { query: 'item=carton-note&shows=anything' });
    expect([second.status, second.body]).toEqual([200, { ...first.body, sameAs: first.id }]);
    expect(await data().rows('select 1 from exhibit')).toHaveLength(1);
  });

  it('takes the same photo on another visit and doubts it there', async () => {
    const content = await aPhoto();
    await put(content);
    const there = await placeWithInspection(data(), place);
    const { status, id } = await put(content, { inspection: there.inspection, headers: await crewOf(data(), there) });
    expect(status).toBe(201);
    await photos.workOff();
    const analyst = await signedIn(data(), place, ['analyst']);
    const seen = (await get(`/v1/photos/${id}`, analyst)).json<{ reading: { doubts: unknown[] } }>();
    expect(seen.reading.doubts).toEqual([
      { kind: 'seen before', says: 'The same file is an exhibit of another visit.', measured: 1, threshold: 0 },
    ]);
  });

  it('takes Repr-Digest as well, and both when they agree', async () => {
    const content = await aPhoto();
    const digest = digestOf(content);
    expect((await put(content, { headers: { 'repr-digest': `sha-512=:AA==:, ${digest}` } })).status).toBe(201);
    expect(await problem(put(content, { headers: { 'repr-digest': digestOf(Buffer.from('x')) } }))).toBe(
      '400 photo-digest-mismatch',
    );
  });

  it.each([
    ['400 photo-digest-missing', 'md5=:AA==:'],
    ['400 photo-digest-missing', 'sha-256=nonsense'],
    ['400 photo-digest-mismatch', digestOf(Buffer.from('something else'))],
  ])('answers %s to the digest %s and keeps nothing', async (expected, digest) => {
    const before = await keptFiles(photos);
    expect(await problem(put(await aPhoto(), { headers: { 'content-digest': digest } }))).toBe(expected);
    expect(await keptFiles(photos)).toEqual(before);
    expect(await data().rows('select 1 from exhibit')).toEqual([]);
  });

  it.each([
    ['400 photo-empty', async () => Buffer.alloc(0)],
    ['415 photo-not-an-image', async () => Buffer.from('a text file named .jpg')],
    ['415 photo-not-an-image', async () => Buffer.from('<svg xmlns="http://www.w3.org/2000/svg"/>')],
    ['422 photo-too-many-pixels', async () => lyingPng(60_000, 60_000)],
    ['422 photo-damaged', async () => (await aPhoto()).subarray(0, 120)],
    ['413 photo-too-large', async () => Buffer.concat([await aPhoto(), Buffer.alloc(40 * 1024 * 1024)])],
  ])('answers %s to a bad file and keeps nothing', async (expected, make) => {
    const before = await keptFiles(photos);
    expect(await problem(put(await make()))).toBe(expected);
    expect(await keptFiles(photos)).toEqual(before);
    expect(await data().rows('select 1 from exhibit')).toEqual([]);
  });

  it('names the item or the demand that the checklist does not have', async () => {
    const unknown = await put(await aPhoto(), { query: 'item=carton-lid&shows=wide' });
    expect([unknown.status, unknown.body['errors']]).toEqual([
      400,
      [{ pointer: '#/item', detail: 'The checklist has no item "carton-lid".' }],
    ]);
    const other = await put(await aPhoto(), { query: 'item=carton-front&shows=label' });
    expect(other.body['errors']).toEqual([
      { pointer: '#/shows', detail: 'The item asks for wide, close; use "extra" for anything more.' },
    ]);
    expect((await put(await aPhoto(), { query: 'item=carton-front&shows=extra' })).status).toBe(201);
    expect(await problem(put(await aPhoto(), { query: 'item=carton-front' }))).toBe('400 invalid-request');
  });

  it('takes raw bytes only, whole and as they are', async () => {
    const content = await aPhoto();
    expect(await problem(put(content, { headers: { 'content-encoding': 'gzip' } }))).toBe('415 unsupported-media-type');
    expect(await problem(put(content, { headers: { 'content-range': 'bytes 0-9/10' } }))).toBe('400 invalid-request');
    expect(await problem(put(Buffer.from('{}'), { headers: { 'content-type': 'application/json' } }))).toBe(
      '415 unsupported-media-type',
    );
    expect(await problem(put(content, { headers: { 'content-type': 'text/plain' } }))).toBe(
      '415 unsupported-media-type',
    );
  });

  it('leaves nothing behind when the sender goes away in the middle', async () => {
    await photos.app.listen(0, '127.0.0.1');
    const { port } = photos.app.getHttpServer().address() as AddressInfo;
    const content = await aPhoto();
    const before = await keptFiles(photos);
    const path = `/v1/inspections/${place.inspection}/photos/${randomUUID()}?item=carton-front&shows=wide`;
    const headers = {
      ...crew,
      'content-type': 'image/jpeg',
      'content-digest': digestOf(content),
      'content-length': content.length,
    };
    await new Promise<void>((resolve) => {
      const sending = httpRequest({ port, path, method: 'PUT', headers });
      sending.on('error', () => resolve());
      sending.write(content.subarray(0, content.length - 10), () => {
        // The half that came has reached the disk by the time its file shows up.
        const look = async () => {
          const arriving = (await keptFiles(photos)).some((file) => file.startsWith('originals/arriving/'));
          if (arriving) sending.destroy(new Error('out of coverage'));
          else setImmediate(() => void look());
        };
        void look();
      });
    });
    while ((await keptFiles(photos)).length !== before.length) await new Promise((resolve) => setImmediate(resolve));
    expect(await keptFiles(photos)).toEqual(before);
    expect(await data().rows('select 1 from exhibit')).toEqual([]);
    expect(photos.lines.filter(({ level }) => level === 'error')).toEqual([]);
    expect((await put(content)).status).toBe(201);
  });
});

describe('reading a photo', () => {
  it('makes upright renditions and tells crew and analyst what each may know', async () => {
    const { id } = await put(await aPhoto());
    expect((await get(`/v1/photos/${id}`, crew)).json()).toMatchObject({ state: 'pending', renditions: [] });
    const early = await get(`/v1/photos/${id}/renditions/1024`, crew);
    expect([early.statusCode, early.json<{ detail: string }>().detail]).toEqual([
      404,
      'The pictures of this photo are still being made. Ask again in a few seconds.',
    ]);
    expect(await photos.workOff()).toBe(1);
    const forCrew = (await get(`/v1/photos/${id}`, crew)).json<Record<string, unknown>>();
    expect(forCrew).toMatchObject({
      state: 'read',
      receivedBy: { kind: 'link', name: 'Mara and Ole' },
      reading: {
        width: 48,
        height: 64,
        orientation: 6,
        capture: { capturedAt: '2026-03-02T08:30:00.000Z', zoneUnknown: false },
        camera: { make: 'Halde', model: 'Halde 3' },
        doubts: [],
      },
    });
    expect(JSON.stringify(forCrew)).not.toMatch(/position|latitude|48\.13/);
    const analyst = await signedIn(data(), place, ['analyst']);
    const forAnalyst = (await get(`/v1/photos/${id}`, analyst)).json<{ reading: { position: { latitude: number } } }>();
    expect(forAnalyst.reading.position.latitude).toBeCloseTo(48.137154, 6);

    const small = await get(`/v1/photos/${id}/renditions/256`, crew);
    expect(small.headers).toMatchObject({
      'content-type': 'image/webp',
      'cache-control': 'private, max-age=31536000, immutable',
      'x-content-type-options': 'nosniff',
    });
    expect(await sharp(small.rawPayload).metadata()).toMatchObject({ format: 'webp', width: 48, height: 64 });
    const again = await get(`/v1/photos/${id}/renditions/256`, {
      ...crew,
      'if-none-match': String(small.headers['etag']),
    });
    expect([again.statusCode, again.rawPayload.length]).toEqual([304, 0]);
    expect((await get(`/v1/photos/${id}/renditions/512`, crew)).statusCode).toBe(404);
    expect((await keptFiles(photos)).filter((file) => file.startsWith('scratch/'))).toEqual([]);
  });

  it('keeps a truncated photo and says so', async () => {
    const whole = await sharp({
      create: {
        width: 600,
        height: 400,
        channels: 3,
        background: '#445566',
        noise: { type: 'gaussian', mean: 90, sigma: 30 },
      },
    })
      .jpeg()
      .toBuffer();
    const { status, id } = await put(whole.subarray(0, Math.floor(whole.length / 2)));
    await photos.workOff();
    const seen = (await get(`/v1/photos/${id}`, crew)).json<{
      state: string;
      reading: { truncated: boolean; doubts: { kind: string }[] };
    }>();
    expect([status, seen.state, seen.reading.truncated]).toEqual([201, 'read', true]);
    expect(seen.reading.doubts.map(({ kind }) => kind)).toEqual(['truncated']);
  });

  it('ends with a sentence for the crew where nothing can be shown', async () => {
    const { status, id } = await put(loopingHeic(), { headers: { 'content-type': 'image/heic' } });
    expect(status).toBe(201);
    await photos.workOff();
    expect((await get(`/v1/photos/${id}`, crew)).json()).toMatchObject({
      state: 'failed',
      failure: 'The photo is damaged and cannot be opened. Take it again and send it once more.',
    });
    const picture = await get(`/v1/photos/${id}/renditions/256`, crew);
    expect([picture.statusCode, picture.json<{ detail: string }>().detail]).toEqual([
      404,
      expect.stringContaining('damaged'),
    ]);
  });

  it('tells that the bytes are not of the type they were sent as', async () => {
    const png = await sharp({ create: { width: 40, height: 40, channels: 3, background: '#102030' } })
      .png()
      .toBuffer();
    const { id } = await put(png);
    await photos.workOff();
    const seen = (await get(`/v1/photos/${id}`, crew)).json<{
      mediaType: string;
      reading: { doubts: { kind: string }[] };
    }>();
    expect([seen.mediaType, seen.reading.doubts.map(({ kind }) => kind)]).toEqual(['image/png', ['type mismatch']]);
  });
});

describe('a form with photos', () => {
  const boundary = 'a-line-between-parts';
  function form(
    parts: readonly { readonly name: string; readonly file?: string; readonly content: Buffer | string }[],
  ): Buffer {
    const chunks = parts.flatMap(({ name, file, content }) => [
      `--${boundary}\r\ncontent-disposition: form-data; name="${name}"${file === undefined ? '' : `; filename="${file}"`}\r\n`,
      file === undefined ? '\r\n' : 'content-type: image/jpeg\r\n\r\n',
      content,
      '\r\n',
    ]);
    return Buffer.concat([...chunks, `--${boundary}--\r\n`].map((chunk) => Buffer.from(chunk)));
  }
  async function send(...parts: Parameters<typeof form>[0]) {
    const answer = await photos.app.inject({
      method: 'POST',
      url: `/v1/inspections/${place.inspection}/photos`,
      headers: { ...crew, 'content-type': `multipart/form-data; boundary=${boundary}` },
      payload: form(parts),
    });
    return {
      status: answer.statusCode,
      body: answer.json<Record<string, unknown> & { photos: { id: string; sha256: string }[] }>(),
    };
  }
  const place1 = [
    { name: 'item', content: 'carton-front' },
    { name: 'shows', content: 'close' },
  ];

  it('takes several at once, and the same again without harm', async () => {
    const [a, b] = [await aPhoto(), await aPhoto()];
    const files = [a, b].map((content, n) => ({ name: 'file', file: `IMG_${n}.jpg`, content }));
    const first = await send(...place1, ...files);
    expect(first.status).toBe(201);
    expect(first.body.photos.map(({ sha256 }) => sha256)).toEqual(
      [a, b].map((c) => createHash('sha256').update(c).digest('hex')),
    );
    const second = await send(...place1, ...files);
    expect([second.status, second.body.photos.map(({ id }) => id)]).toEqual([
      200,
      first.body.photos.map(({ id }) => id),
    ]);
    expect(await data().rows('select file_name, shows from exhibit order by file_name')).toEqual([
      { file_name: 'IMG_0.jpg', shows: 'close' },
      { file_name: 'IMG_1.jpg', shows: 'close' },
    ]);
  });

  it('keeps the good ones before a bad one and says which', async () => {
    const bad = { name: 'file', file: 'notes.jpg', content: 'just text' };
    const { status, body } = await send(...place1, { name: 'file', file: 'a.jpg', content: await aPhoto() }, bad);
    expect([status, body['type'], (body['kept'] as unknown[]).length]).toEqual([
      415,
      '/problems/photo-not-an-image',
      1,
    ]);
  });

  it('asks for its fields before the files, and for at least one file', async () => {
    const file = { name: 'file', file: 'a.jpg', content: await aPhoto() };
    expect((await send(file, ...place1)).body['errors']).toMatchObject([{ pointer: '#/item' }, { pointer: '#/shows' }]);
    expect((await send(...place1)).body['errors']).toMatchObject([{ pointer: '#/file' }]);
  });
});

describe('who sees what', () => {
  it('hides everything of another tenant and another visit', async () => {
    const { id } = await put(await aPhoto());
    await photos.workOff();
    const elsewhere = await placeWithInspection(data());
    const nextDoor = await placeWithInspection(data(), place);
    for (const headers of [
      await crewOf(data(), elsewhere),
      await signedIn(data(), elsewhere, ['analyst']),
      await crewOf(data(), nextDoor),
    ]) {
      for (const url of [
        `/v1/photos/${id}`,
        `/v1/photos/${id}/renditions/256`,
        `/v1/inspections/${place.inspection}/photos`,
      ]) {
        expect((await get(url, headers)).statusCode).toBe(404);
      }
      expect(await problem(put(await aPhoto(), { headers }))).toBe('404 not-found');
    }
    const stranger = await get(`/v1/photos/${id}/original`, await signedIn(data(), elsewhere, ['analyst']));
    expect(stranger.statusCode).toBe(404);
  });

  it('does not let an id of another tenant be taken over or looked into', async () => {
    const content = await aPhoto();
    const { id } = await put(content);
    const elsewhere = await placeWithInspection(data());
    const headers = await crewOf(data(), elsewhere);
    expect(await problem(put(content, { id, inspection: elsewhere.inspection, headers }))).toBe('409 photo-id-taken');
  });

  it('hands originals to analysts only', async () => {
    const { id } = await put(await aPhoto());
    for (const roles of [['administrator'], ['policy owner']] as const) {
      expect((await get(`/v1/photos/${id}/original`, await signedIn(data(), place, roles))).statusCode).toBe(403);
    }
    expect((await get(`/v1/photos/${id}/original`, crew)).statusCode).toBe(403);
  });

  it('shows a retailer renditions of its own claims and nothing else', async () => {
    const { id } = await put(await aPhoto());
    await photos.workOff();
    const own = await signedIn(data(), place, ['retailer']);
    const picture = `/v1/photos/${id}/renditions/256`;
    expect((await get(picture, own)).statusCode).toBe(404);
    await claimOn(data(), place);
    expect((await get(picture, own)).statusCode).toBe(200);
    expect((await get(`/v1/photos/${id}`, own)).statusCode).toBe(403);
    expect((await get(`/v1/photos/${id}/original`, own)).statusCode).toBe(403);
    const rival = await placeWithInspection(data(), { tenant: place.tenant, retailer: await otherRetailer() });
    expect((await get(picture, await signedIn(data(), rival, ['retailer']))).statusCode).toBe(404);
  });

  async function otherRetailer(): Promise<string> {
    const id = randomUUID();
    await data().rows(`insert into retailer (id, tenant_id, name, code) values ($1, $2, 'Fjordbo', $3)`, [
      id,
      place.tenant,
      id.slice(0, 8),
    ]);
    return id;
  }

  it('takes a withdrawn photo out for everybody but analysts, once and for all', async () => {
    const { id } = await put(await aPhoto());
    await photos.workOff();
    const withdraw = (key: string) =>
      photos.app.inject({
        method: 'POST',
        url: `/v1/photos/${id}/withdrawal`,
        headers: { ...crew, 'idempotency-key': `"${key}"` },
      });
    const first = await withdraw('one');
    expect([first.statusCode, first.json<{ withdrawnAt: string }>().withdrawnAt]).toEqual([
      201,
      '2026-03-02T09:00:00.000Z',
    ]);
    expect((await withdraw('two')).json<{ withdrawnAt: string }>().withdrawnAt).toBe('2026-03-02T09:00:00.000Z');
    expect((await get(`/v1/photos/${id}/renditions/256`, crew)).statusCode).toBe(404);
    expect((await get(`/v1/photos/${id}/renditions/256`, await signedIn(data(), place, ['analyst']))).statusCode).toBe(
      200,
    );
    expect(await data().rows(`select withdrawn_by like 'link:%' by_crew from exhibit`)).toEqual([{ by_crew: true }]);
  });

  it('lists the photos of an inspection a page at a time', async () => {
    const sent: string[] = [];
    for (let n = 0; n < 5; n += 1) {
      photos.clock.advance({ milliseconds: n % 2 });
      sent.push((await put(await aPhoto())).id);
    }
    const seen: string[] = [];
    let next: string | undefined;
    do {
      const cursor = next === undefined ? '' : `&cursor=${next}`;
      const page = await get(`/v1/inspections/${place.inspection}/photos?limit=2${cursor}`, crew);
      const body = page.json<{ items: { id: string }[]; next?: string }>();
      seen.push(...body.items.map(({ id }) => id));
      next = body.next;
    } while (next !== undefined);
    expect([...seen].sort()).toEqual([...sent].sort());
    expect(new Set(seen).size).toBe(5);
  });
});
