import { createHash, randomUUID } from 'node:crypto';
import { appendFile, readFile } from 'node:fs/promises';
import { join } from 'node:path';
import type { AddressInfo } from 'node:net';
import { Upload } from 'tus-js-client';
import { describe, expect, it } from 'vitest';
import { UploadSweepService } from '../../src/evidence/uploads/upload-sweep.service.js';
import { aPhoto, photoDesk } from '../support/photo-desk.js';
import { crewOf, keptFiles, placeWithInspection, signedIn } from '../support/photo-scene.js';

/** The protocol's own texts are named by section of tus 1.0.0 (tus.io/protocols/resumable-upload). */
const desk = photoDesk();
const TUS = { 'tus-resumable': '1.0.0' };
const CHUNK = { ...TUS, 'content-type': 'application/offset+octet-stream' };

type Headers = Readonly<Record<string, string>>;

async function ask(method: string, url: string, headers: Headers = {}, payload?: Buffer | string) {
  const answer = await desk.photos.app.inject({
    method: method as 'GET',
    url,
    headers: { ...desk.crew, ...headers },
    ...(payload === undefined ? {} : { payload }),
  });
  const type = answer.headers['content-type'];
  const body = String(type).includes('json') ? answer.json<Record<string, unknown>>() : {};
  return { status: answer.statusCode, headers: answer.headers, body };
}

const sha256 = (content: Uint8Array) => createHash('sha256').update(content).digest('hex');

function metadata(content: Uint8Array, more: Readonly<Record<string, string>> = {}): string {
  const fields = {
    inspection: desk.place.inspection,
    photo: randomUUID(),
    item: 'carton-front',
    shows: 'wide',
    sha256: sha256(content),
    ...more,
  };
  return Object.entries(fields)
    .map(([key, value]) => `${key} ${Buffer.from(value).toString('base64')}`)
    .join(',');
}

async function begin(content: Uint8Array, more: Readonly<Record<string, string>> = {}): Promise<string> {
  const headers = { ...TUS, 'upload-length': String(content.length), 'upload-metadata': metadata(content, more) };
  const { status, headers: answered, body } = await ask('POST', '/v1/uploads', headers);
  expect([status, body]).toEqual([201, {}]);
  return String(answered['location']);
}

const send = (url: string, offset: number, bytes: Buffer, headers: Headers = {}) =>
  ask('PATCH', url, { ...CHUNK, 'upload-offset': String(offset), ...headers }, bytes);
const receipt = (url: string, content: Uint8Array, headers: Headers = {}) =>
  ask(
    'PUT',
    `${url}/receipt`,
    { 'content-type': 'application/json', ...headers },
    JSON.stringify({ sha256: sha256(content) }),
  );
const sweep = () => desk.photos.app.get(UploadSweepService).sweep();
const uploads = async () =>
  (await keptFiles(desk.photos)).filter((file) => file.startsWith(`uploads/${desk.place.tenant}/`));
const fileOf = (url: string) =>
  join(desk.photos.config.stateDir, 'uploads', desk.place.tenant, url.replace('/v1/uploads/', ''));

describe('a resumable upload', () => {
  it('ends where a photo that was sent at once ends, with the same receipt', async () => {
    const content = await aPhoto();
    const id = randomUUID();
    const url = await begin(content, { photo: id, filetype: 'image/jpeg', filename: 'IMG_1.jpg' });
    expect((await ask('HEAD', url, TUS)).headers).toMatchObject({
      'upload-offset': '0',
      'upload-length': String(content.length),
      'cache-control': 'no-store',
      'tus-resumable': '1.0.0',
    });
    const first = await send(url, 0, content.subarray(0, 70));
    expect([first.status, first.headers['upload-offset']]).toEqual([204, '70']);
    const second = await send(url, 70, content.subarray(70, 100));
    expect([second.status, second.headers['upload-offset']]).toEqual([204, '100']);
    const early = await receipt(url, content);
    expect([early.status, early.body['type'], early.body['offset']]).toEqual([409, '/problems/upload-incomplete', 100]);
    expect((await send(url, 100, content.subarray(100))).status).toBe(204);
    const kept = await receipt(url, content);
    expect([kept.status, kept.body]).toMatchObject([200, { id, sha256: sha256(content), bytes: content.length }]);
    expect((await receipt(url, content)).body).toEqual(kept.body);
    const again = await desk.put(content, { id });
    expect([again.status, again.body]).toEqual([200, kept.body]);
    expect(await desk.data().rows('select file_name from exhibit')).toEqual([{ file_name: 'IMG_1.jpg' }]);
    const analyst = await signedIn(desk.data(), desk.place, ['analyst']);
    expect((await desk.get(`/v1/photos/${id}/original`, analyst)).rawPayload.equals(content)).toBe(true);
  });

  it('may bring its first bytes, or all of them, when it is created (creation-with-upload)', async () => {
    const content = await aPhoto();
    const create = async (bytes: Buffer) => {
      const headers = { ...CHUNK, 'upload-length': String(content.length), 'upload-metadata': metadata(content) };
      return ask('POST', '/v1/uploads', headers, bytes);
    };
    const part = await create(content.subarray(0, 10));
    expect([part.status, part.headers['upload-offset']]).toEqual([201, '10']);
    const whole = await create(content);
    expect([whole.status, whole.headers['upload-offset']]).toEqual([201, String(content.length)]);
    expect(await desk.data().rows('select 1 from exhibit')).toHaveLength(1);
  });

  it('is described by OPTIONS to anybody', async () => {
    const { status, headers } = await ask('OPTIONS', '/v1/uploads', { authorization: '' });
    expect(status).toBe(204);
    expect(headers).toMatchObject({
      'tus-resumable': '1.0.0',
      'tus-version': '1.0.0',
      'tus-max-size': '41943040',
      'tus-extension': 'creation,creation-with-upload,expiration,termination',
    });
  });

  it('speaks version 1.0.0 only (Tus-Resumable, 412)', async () => {
    const url = await begin(await aPhoto());
    const versions: readonly Headers[] = [{}, { 'tus-resumable': '0.2.2' }];
    for (const headers of versions) {
      for (const method of ['POST', 'HEAD', 'PATCH', 'DELETE']) {
        const answer = await ask(method, method === 'POST' ? '/v1/uploads' : url, headers);
        expect([method, answer.status, answer.headers['tus-version']]).toEqual([method, 412, '1.0.0']);
      }
    }
  });

  it('moves its offset only by bytes that follow (PATCH: 409, 415, 413)', async () => {
    const content = await aPhoto();
    const url = await begin(content);
    await send(url, 0, content.subarray(0, 20));
    const refused = await Promise.all([
      send(url, 10, content.subarray(10)),
      send(url, 30, content.subarray(30)),
      ask('PATCH', url, { ...TUS, 'content-type': 'image/jpeg', 'upload-offset': '20' }, content.subarray(20)),
      send(url, 20, Buffer.concat([content.subarray(20), Buffer.from('more')])),
      ask('PATCH', url, CHUNK, content.subarray(20)),
    ]);
    expect(refused.map(({ status, body }) => `${status} ${String(body['type'])}`)).toEqual([
      '409 /problems/upload-offset-differs',
      '409 /problems/upload-offset-differs',
      '415 /problems/unsupported-media-type',
      '413 /problems/photo-too-large',
      '400 /problems/invalid-request',
    ]);
    expect((await ask('HEAD', url, TUS)).headers['upload-offset']).toBe('20');
  });

  it('says at its creation how long it is, whose hash it has and where it belongs', async () => {
    const content = await aPhoto();
    const create = async (headers: Headers) => {
      const given = { ...TUS, 'upload-length': '100', 'upload-metadata': metadata(content), ...headers };
      const { status, body } = await ask('POST', '/v1/uploads', given);
      return `${status} ${String(body['type']).replace('/problems/', '')}`;
    };
    expect(await create({ 'upload-length': '41943041' })).toBe('413 photo-too-large');
    expect(await create({ 'upload-length': '0' })).toBe('400 photo-empty');
    expect(await create({ 'upload-length': '-1' })).toBe('400 invalid-request');
    expect(await create({ 'upload-length': '', 'upload-defer-length': '1' })).toBe('400 invalid-request');
    expect(await create({ 'upload-metadata': metadata(content, { sha256: 'abc' }) })).toBe('400 invalid-request');
    expect(await create({ 'upload-metadata': metadata(content, { item: 'carton-lid' }) })).toBe('400 invalid-request');
    expect(await create({ 'upload-metadata': metadata(content, { inspection: randomUUID() }) })).toBe('404 not-found');
    const { id } = await desk.put(await aPhoto());
    expect(await create({ 'upload-metadata': metadata(content, { photo: id }) })).toBe('409 photo-id-taken');
    expect(await uploads()).toEqual([]);
  });

  it('can be given up (termination: 204, then 404)', async () => {
    const url = await begin(await aPhoto());
    expect((await ask('DELETE', url, TUS)).status).toBe(204);
    for (const method of ['HEAD', 'DELETE']) expect((await ask(method, url, TUS)).status).toBe(404);
    expect(await uploads()).toEqual([]);
    expect((await ask('HEAD', '/v1/uploads/..%2f..%2fetc%2fpasswd', TUS)).status).toBe(404);
  });

  it('can be sent by POST alone (X-HTTP-Method-Override)', async () => {
    const content = await aPhoto();
    const url = await begin(content);
    const by = (method: string, headers: Headers = {}, payload?: Buffer) =>
      ask('POST', url, { ...TUS, 'x-http-method-override': method, ...headers }, payload);
    const sent = await by('PATCH', { ...CHUNK, 'upload-offset': '0' }, content.subarray(0, 5));
    expect([sent.status, sent.headers['upload-offset']]).toEqual([204, '5']);
    expect((await by('HEAD')).headers['upload-offset']).toBe('5');
    expect((await by('DELETE')).status).toBe(204);
    expect((await by('GET')).status).toBe(400);
  });

  it('is nobody’s but its sender’s', async () => {
    const content = await aPhoto();
    const url = await begin(content);
    const elsewhere = await placeWithInspection(desk.data());
    for (const other of [
      await crewOf(desk.data(), desk.place),
      await signedIn(desk.data(), desk.place, ['analyst']),
      await crewOf(desk.data(), elsewhere),
    ]) {
      const answers = [
        await ask('HEAD', url, { ...TUS, ...other }),
        await send(url, 0, content, other),
        await ask('DELETE', url, { ...TUS, ...other }),
        await receipt(url, content, other),
      ];
      expect(answers.map(({ status }) => status)).toEqual([404, 404, 404, 404]);
    }
    expect((await ask('HEAD', url, TUS)).headers['upload-offset']).toBe('0');
  });

  it('with other bytes than its hash says is refused (460), also when it is asked for again', async () => {
    const content = await aPhoto();
    const originals = async () => (await keptFiles(desk.photos)).filter((file) => file.startsWith('originals/'));
    const before = await originals();
    const url = await begin(content, { sha256: sha256(Buffer.from('another photo')) });
    const sent = await send(url, 0, content);
    expect([sent.status, sent.body['type']]).toEqual([460, '/problems/upload-digest-mismatch']);
    expect((await receipt(url, Buffer.from('another photo'))).status).toBe(460);
    await sweep();
    expect([await uploads(), await desk.data().rows('select 1 from exhibit')]).toEqual([[], []]);
    expect(await originals()).toEqual(before);
  });

  it('of something that is no photo is refused with a sentence', async () => {
    const content = Buffer.from('<svg xmlns="http://www.w3.org/2000/svg"/>');
    const sent = await send(await begin(content), 0, content);
    expect([sent.status, sent.body['detail']]).toEqual([415, expect.stringMatching(/^SVG drawings are not kept here/)]);
    expect(await uploads()).toEqual([]);
  });

  it('has a limit on how many are open at once', async () => {
    const content = await aPhoto();
    const headers = { ...TUS, 'upload-length': String(content.length) };
    for (let n = 0; n < 20; n += 1) await begin(content);
    const over = await ask('POST', '/v1/uploads', { ...headers, 'upload-metadata': metadata(content) });
    expect([over.status, over.body['type'], over.headers['retry-after']]).toEqual([
      429,
      '/problems/too-many-uploads',
      '60',
    ]);
    const colleague = await signedIn(desk.data(), desk.place, ['analyst']);
    const theirs = await ask('POST', '/v1/uploads', { ...headers, 'upload-metadata': metadata(content), ...colleague });
    expect(theirs.status).toBe(201);
  });

  it('that lost its last answer is found complete, and is taken in by the next sweep', async () => {
    const content = await aPhoto();
    const url = await begin(content);
    // What a process leaves that ends after the last byte and before anything else.
    await appendFile(fileOf(url), content);
    expect((await ask('HEAD', url, TUS)).headers['upload-offset']).toBe(String(content.length));
    expect(await desk.data().rows('select 1 from exhibit')).toEqual([]);
    await sweep();
    await sweep();
    expect(await desk.data().rows('select sha256 from exhibit')).toEqual([{ sha256: sha256(content) }]);
    expect((await receipt(url, content)).body).toMatchObject({ sha256: sha256(content) });
    expect(await readFile(fileOf(url))).toEqual(content);
  });

  it('expires, and takes its bytes with it but not the photo', async () => {
    const [kept, half] = [await aPhoto(), await aPhoto()];
    const [keptUrl, halfUrl] = [await begin(kept), await begin(half)];
    await send(keptUrl, 0, kept);
    await send(halfUrl, 0, half.subarray(0, 10));
    desk.photos.clock.advance({ hours: 47, minutes: 59 });
    await sweep();
    expect(await uploads()).toHaveLength(4);
    desk.photos.clock.advance({ minutes: 1 });
    expect((await ask('HEAD', halfUrl, TUS)).status).toBe(404);
    await sweep();
    expect([await uploads(), await desk.data().rows('select 1 from photo_upload')]).toEqual([[], []]);
    expect(await desk.data().rows('select sha256 from exhibit')).toEqual([{ sha256: sha256(kept) }]);
    desk.photos.clock.advance({ hours: -48 });
  });

  it('is resumed by a common client after the line broke', async () => {
    await desk.photos.app.listen(0, '127.0.0.1');
    const { port } = desk.photos.app.getHttpServer().address() as AddressInfo;
    const content = await aPhoto();
    const fields = Object.fromEntries(
      metadata(content)
        .split(',')
        .map((pair) => pair.split(' '))
        .map(([key = '', value = '']) => [key, Buffer.from(value, 'base64').toString()]),
    );
    const upload = (options: ConstructorParameters<typeof Upload>[1]) =>
      new Upload(content, {
        endpoint: `http://127.0.0.1:${port}/v1/uploads`,
        headers: { ...desk.crew },
        metadata: fields,
        chunkSize: 200,
        retryDelays: [],
        ...options,
      });
    const broken = await new Promise<string>((settle, fail) => {
      const first = upload({
        onError: fail,
        onChunkComplete: (_size, accepted) => {
          if (accepted >= 400) void first.abort().then(() => settle(first.url ?? ''));
        },
      });
      first.start();
    });
    await new Promise<void>((settle, fail) => {
      upload({ uploadUrl: broken, onError: fail, onSuccess: () => settle() }).start();
    });
    expect(await desk.data().rows('select sha256 from exhibit')).toEqual([{ sha256: sha256(content) }]);
  });
});

describe('the quota of a house', () => {
  it('is told before bytes are sent, and counts what is there already', async () => {
    const [first, second] = [await aPhoto(), await aPhoto()];
    await desk.put(first);
    await desk.data().rows('update exhibit_usage set max_photos = 1');
    const url = '/v1/uploads';
    const headers = { ...TUS, 'upload-length': '100', 'upload-metadata': metadata(second) };
    const full = await ask('POST', url, headers);
    expect([full.status, full.body['type'], full.body['detail']]).toEqual([
      507,
      '/problems/photo-quota-reached',
      expect.stringMatching(/^The house keeps 1 of 1 photos and .* Keep the photo on the phone/),
    ]);
    expect((await desk.put(second)).status).toBe(507);
    expect((await desk.put(first)).status).toBe(200);
    await desk.data().rows('update exhibit_usage set max_photos = null, max_bytes = bytes + 10');
    expect((await desk.put(second)).status).toBe(507);
    await desk.data().rows('update exhibit_usage set max_bytes = null');
    expect((await desk.put(second)).status).toBe(201);
    expect(await desk.data().rows('select photos::int, bytes::int from exhibit_usage')).toEqual([
      { photos: 2, bytes: first.length + second.length },
    ]);
  });

  it('counts what was kept before it was counted', async () => {
    await desk.put(await aPhoto());
    await desk.data().rows('delete from exhibit_usage');
    await desk.put(await aPhoto());
    expect(await desk.data().rows('select photos::int from exhibit_usage')).toEqual([{ photos: 2 }]);
  });

  it('holds however many send at once', async () => {
    await desk.put(await aPhoto());
    await desk.data().rows('update exhibit_usage set max_photos = 4');
    const photos = await Promise.all(Array.from({ length: 8 }, () => aPhoto()));
    const answers = await Promise.all(photos.map((content) => desk.put(content)));
    expect(answers.filter(({ status }) => status === 201)).toHaveLength(3);
    expect(answers.filter(({ status }) => status === 507)).toHaveLength(5);
    expect(await desk.data().rows('select count(*)::int from exhibit')).toEqual([{ count: 4 }]);
  });
});
