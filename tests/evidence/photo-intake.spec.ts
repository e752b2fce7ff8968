import { createHash, randomUUID } from 'node:crypto';
import { request as httpRequest } from 'node:http';
import type { AddressInfo } from 'node:net';
import { describe, expect, it } from 'vitest';
import { lyingPng } from '../support/broken-photos.js';
import { aPhoto, photoDesk, problem } from '../support/photo-desk.js';
import { crewOf, digestOf, keptFiles, placeWithInspection, signedIn } from '../support/photo-scene.js';

const desk = photoDesk();

describe('sending a photo', () => {
  it('keeps the bytes as they are and answers with a receipt', async () => {
    const content = await aPhoto();
    const { status, body, headers, id } = await desk.put(content);
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
      state: 'pending',
    });
    const analyst = await signedIn(desk.data(), desk.place, ['analyst']);
    const original = await desk.get(`/v1/photos/${id}/original`, analyst);
    expect(original.rawPayload.equals(content)).toBe(true);
    expect(original.headers).toMatchObject({
      'content-type': 'image/jpeg',
      'content-disposition': `attachment; filename="photo-${id}.jpg"`,
      'content-security-policy': `default-src 'none'; sandbox`,
      'x-content-type-options': 'nosniff',
      'repr-digest': digestOf(content),
    });
    expect(desk.photos.lines.filter(({ exhibit }) => exhibit === id)).toHaveLength(1);
  });

  it('gives the stored receipt when it is sent again, however often and at once', async () => {
    const content = await aPhoto();
    const id = randomUUID();
    const answers = await Promise.all(Array.from({ length: 6 }, () => desk.put(content, { id })));
    expect(answers.map(({ status }) => status).sort((a, b) => a - b)).toEqual([200, 200, 200, 200, 200, 201]);
    expect(new Set(answers.map(({ body }) => JSON.stringify(body))).size).toBe(1);
    expect(await desk.data().rows('select id from exhibit')).toEqual([{ id }]);
    expect(await desk.data().rows(`select 1 from pgboss.job where name = 'read-photo'`)).toHaveLength(1);
  });

  it('refuses other bytes under the same id', async () => {
    const id = randomUUID();
    await desk.put(await aPhoto(), { id });
    expect(await problem(desk.put(await aPhoto(), { id }))).toBe('409 photo-id-taken');
    const [first, second] = await Promise.all([
      desk.put(await aPhoto(), { id: randomUUID() }),
      desk.put(await aPhoto(), { id }),
    ]);
    expect([first.status, second.status]).toEqual([201, 409]);
  });

  it('points to the first where the same photo comes under two ids', async () => {
    const content = await aPhoto();
    const first = await desk.put(content);
    const second = await desk.put(content, { query: 'item=carton-note&shows=anything' });
    expect([second.status, second.body]).toEqual([200, { ...first.body, sameAs: first.id }]);
    expect(await desk.data().rows('select 1 from exhibit')).toHaveLength(1);
  });

  it('takes the same photo on another visit and doubts it there', async () => {
    const content = await aPhoto();
    await desk.put(content);
    const there = await placeWithInspection(desk.data(), desk.place);
    const { status, id } = await desk.put(content, {
      inspection: there.inspection,
      headers: await crewOf(desk.data(), there),
    });
    expect(status).toBe(201);
    await desk.photos.workOff();
    const analyst = await signedIn(desk.data(), desk.place, ['analyst']);
    const seen = (await desk.get(`/v1/photos/${id}`, analyst)).json<{ reading: { doubts: unknown[] } }>();
    expect(seen.reading.doubts).toEqual([
      {
        kind: 'seen before',
        says: 'The same file is an exhibit of another visit.',
        measured: 1,
        threshold: 0,
        unit: 'visits',
      },
    ]);
  });

  it('takes Repr-Digest as well, and both when they agree', async () => {
    const content = await aPhoto();
    const digest = digestOf(content);
    expect((await desk.put(content, { headers: { 'repr-digest': `sha-512=:AA==:, ${digest}` } })).status).toBe(201);
    expect(await problem(desk.put(content, { headers: { 'repr-digest': digestOf(Buffer.from('x')) } }))).toBe(
      '400 photo-digest-mismatch',
    );
  });

  it.each([
    ['400 photo-digest-missing', 'md5=:AA==:'],
    ['400 photo-digest-missing', 'sha-256=nonsense'],
    ['400 photo-digest-mismatch', digestOf(Buffer.from('something else'))],
  ])('answers %s to the digest %s and keeps nothing', async (expected, digest) => {
    const before = await keptFiles(desk.photos);
    expect(await problem(desk.put(await aPhoto(), { headers: { 'content-digest': digest } }))).toBe(expected);
    expect(await keptFiles(desk.photos)).toEqual(before);
    expect(await desk.data().rows('select 1 from exhibit')).toEqual([]);
  });

  it.each([
    ['400 photo-empty', async () => Buffer.alloc(0)],
    ['415 photo-not-an-image', async () => Buffer.from('a text file named .jpg')],
    ['415 photo-not-an-image', async () => Buffer.from('<svg xmlns="http://www.w3.org/2000/svg"/>')],
    ['422 photo-too-many-pixels', async () => lyingPng(60_000, 60_000)],
    ['422 photo-damaged', async () => (await aPhoto()).subarray(0, 120)],
    ['413 photo-too-large', async () => Buffer.concat([await aPhoto(), Buffer.alloc(40 * 1024 * 1024)])],
  ])('answers %s to a bad file and keeps nothing', async (expected, make) => {
    const before = await keptFiles(desk.photos);
    expect(await problem(desk.put(await make()))).toBe(expected);
    expect(await keptFiles(desk.photos)).toEqual(before);
    expect(await desk.data().rows('select 1 from exhibit')).toEqual([]);
  });

  it('names the item or the demand that the checklist does not have', async () => {
    const unknown = await desk.put(await aPhoto(), { query: 'item=carton-lid&shows=wide' });
    expect([unknown.status, unknown.body['errors']]).toEqual([
      400,
      [{ pointer: '#/item', detail: 'The checklist has no item "carton-lid".' }],
    ]);
    const other = await desk.put(await aPhoto(), { query: 'item=carton-front&shows=label' });
    expect(other.body['errors']).toEqual([
      { pointer: '#/shows', detail: 'The item asks for wide, close, serial-plate; use "extra" for anything more.' },
    ]);
    expect((await desk.put(await aPhoto(), { query: 'item=carton-front&shows=extra' })).status).toBe(201);
    expect(await problem(desk.put(await aPhoto(), { query: 'item=carton-front' }))).toBe('400 invalid-request');
  });

  it('takes raw bytes only, whole and as they are', async () => {
    const content = await aPhoto();
    expect(await problem(desk.put(content, { headers: { 'content-encoding': 'gzip' } }))).toBe(
      '415 unsupported-media-type',
    );
    expect(await problem(desk.put(content, { headers: { 'content-range': 'bytes 0-9/10' } }))).toBe(
      '400 invalid-request',
    );
    expect(await problem(desk.put(Buffer.from('{}'), { headers: { 'content-type': 'application/json' } }))).toBe(
      '415 unsupported-media-type',
    );
    expect(await problem(desk.put(content, { headers: { 'content-type': 'text/plain' } }))).toBe(
      '415 unsupported-media-type',
    );
  });

  it('leaves nothing behind when the sender goes away in the middle', async () => {
    await desk.photos.app.listen(0, '127.0.0.1');
    const { port } = desk.photos.app.getHttpServer().address() as AddressInfo;
    const content = await aPhoto();
    const before = await keptFiles(desk.photos);
    const path = `/v1/inspections/${desk.place.inspection}/photos/${randomUUID()}?item=carton-front&shows=wide`;
    const headers = {
      ...desk.crew,
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
          const arriving = (await keptFiles(desk.photos)).some((file) => file.startsWith('originals/arriving/'));
          if (arriving) sending.destroy(new Error('out of coverage'));
          else setImmediate(() => void look());
        };
        void look();
      });
    });
    while ((await keptFiles(desk.photos)).length !== before.length)
      await new Promise((resolve) => setImmediate(resolve));
    expect(await keptFiles(desk.photos)).toEqual(before);
    expect(await desk.data().rows('select 1 from exhibit')).toEqual([]);
    expect(desk.photos.lines.filter(({ level }) => level === 'error')).toEqual([]);
    expect((await desk.put(content)).status).toBe(201);
  });
});
