import { randomUUID } from 'node:crypto';
import { describe, expect, it } from 'vitest';
import { aPhoto, photoDesk } from '../support/photo-desk.js';
import { crewOf, keptFiles, placeWithInspection, signedIn } from '../support/photo-scene.js';
import { CHUNK, sha256, TUS, TusDesk, type Headers } from '../support/tus-desk.js';

/** The protocol's own texts are named by section of tus 1.0.0 (tus.io/protocols/resumable-upload). */
const desk = photoDesk();
const tus = new TusDesk(desk);

describe('a resumable upload', () => {
  it('ends where a photo that was sent at once ends, with the same receipt', async () => {
    const content = await aPhoto();
    const id = randomUUID();
    const url = await tus.begin(content, { photo: id, filetype: 'image/jpeg', filename: 'IMG_1.jpg' });
    expect((await tus.ask('HEAD', url, TUS)).headers).toMatchObject({
      'upload-offset': '0',
      'upload-length': String(content.length),
      'cache-control': 'no-store',
      'tus-resumable': '1.0.0',
    });
    const first = await tus.send(url, 0, content.subarray(0, 70));
    expect([first.status, first.headers['upload-offset']]).toEqual([204, '70']);
    const second = await tus.send(url, 70, content.subarray(70, 100));
    expect([second.status, second.headers['upload-offset']]).toEqual([204, '100']);
    const early = await tus.receipt(url, content);
    expect([early.status, early.body['type'], early.body['offset']]).toEqual([409, '/problems/upload-incomplete', 100]);
    expect((await tus.send(url, 100, content.subarray(100))).status).toBe(204);
    const kept = await tus.receipt(url, content);
    expect([kept.status, kept.body]).toMatchObject([200, { id, sha256: sha256(content), bytes: content.length }]);
    expect((await tus.receipt(url, content)).body).toEqual(kept.body);
    const again = await desk.put(content, { id });
    expect([again.status, again.body]).toEqual([200, kept.body]);
    expect(await desk.data().rows('select file_name from exhibit')).toEqual([{ file_name: 'IMG_1.jpg' }]);
    const analyst = await signedIn(desk.data(), desk.place, ['analyst']);
    expect((await desk.get(`/v1/photos/${id}/original`, analyst)).rawPayload.equals(content)).toBe(true);
  });

  it('may bring its first bytes, or all of them, when it is created (creation-with-upload)', async () => {
    const content = await aPhoto();
    const create = async (bytes: Buffer) => {
      const headers = { ...CHUNK, 'upload-length': String(content.length), 'upload-metadata': tus.metadata(content) };
      return tus.ask('POST', '/v1/uploads', headers, bytes);
    };
    const part = await create(content.subarray(0, 10));
    expect([part.status, part.headers['upload-offset']]).toEqual([201, '10']);
    const whole = await create(content);
    expect([whole.status, whole.headers['upload-offset']]).toEqual([201, String(content.length)]);
    expect(await desk.data().rows('select 1 from exhibit')).toHaveLength(1);
  });

  it('is described by OPTIONS to anybody', async () => {
    const { status, headers } = await tus.ask('OPTIONS', '/v1/uploads', { authorization: '' });
    expect(status).toBe(204);
    expect(headers).toMatchObject({
      'tus-resumable': '1.0.0',
      'tus-version': '1.0.0',
      'tus-max-size': '41943040',
      'tus-extension': 'creation,creation-with-upload,expiration,termination',
    });
  });

  it('speaks version 1.0.0 only (Tus-Resumable, 412)', async () => {
    const url = await tus.begin(await aPhoto());
    const versions: readonly Headers[] = [{}, { 'tus-resumable': '0.2.2' }];
    for (const headers of versions) {
      for (const method of ['POST', 'HEAD', 'PATCH', 'DELETE']) {
        const answer = await tus.ask(method, method === 'POST' ? '/v1/uploads' : url, headers);
        expect([method, answer.status, answer.headers['tus-version']]).toEqual([method, 412, '1.0.0']);
      }
    }
  });

  it('moves its offset only by bytes that follow (PATCH: 409, 415, 413)', async () => {
    const content = await aPhoto();
    const url = await tus.begin(content);
    await tus.send(url, 0, content.subarray(0, 20));
    const refused = await Promise.all([
      tus.send(url, 10, content.subarray(10)),
      tus.send(url, 30, content.subarray(30)),
      tus.ask('PATCH', url, { ...TUS, 'content-type': 'image/jpeg', 'upload-offset': '20' }, content.subarray(20)),
      tus.send(url, 20, Buffer.concat([content.subarray(20), Buffer.from('more')])),
      tus.ask('PATCH', url, CHUNK, content.subarray(20)),
    ]);
    expect(refused.map(({ status, body }) => `${status} ${String(body['type'])}`)).toEqual([
      '409 /problems/upload-offset-differs',
      '409 /problems/upload-offset-differs',
      '415 /problems/unsupported-media-type',
      '413 /problems/photo-too-large',
      '400 /problems/invalid-request',
    ]);
    expect((await tus.ask('HEAD', url, TUS)).headers['upload-offset']).toBe('20');
  });

  it('says at its creation how long it is, whose hash it has and where it belongs', async () => {
    const content = await aPhoto();
    const create = async (headers: Headers) => {
      const given = { ...TUS, 'upload-length': '100', 'upload-metadata': tus.metadata(content), ...headers };
      const { status, body } = await tus.ask('POST', '/v1/uploads', given);
      return `${status} ${String(body['type']).replace('/problems/', '')}`;
    };
    expect(await create({ 'upload-length': '41943041' })).toBe('413 photo-too-large');
    expect(await create({ 'upload-length': '0' })).toBe('400 photo-empty');
    expect(await create({ 'upload-length': '-1' })).toBe('400 invalid-request');
    expect(await create({ 'upload-length': '', 'upload-defer-length': '1' })).toBe('400 invalid-request');
    expect(await create({ 'upload-metadata': tus.metadata(content, { sha256: 'abc' }) })).toBe('400 invalid-request');
    expect(await create({ 'upload-metadata': tus.metadata(content, { item: 'carton-lid' }) })).toBe(
      '400 invalid-request',
    );
    expect(await create({ 'upload-metadata': tus.metadata(content, { inspection: randomUUID() }) })).toBe(
      '404 not-found',
    );
    const { id } = await desk.put(await aPhoto());
    expect(await create({ 'upload-metadata': tus.metadata(content, { photo: id }) })).toBe('409 photo-id-taken');
    expect(await tus.files()).toEqual([]);
  });

  it('can be given up (termination: 204, then 404)', async () => {
    const url = await tus.begin(await aPhoto());
    expect((await tus.ask('DELETE', url, TUS)).status).toBe(204);
    for (const method of ['HEAD', 'DELETE']) expect((await tus.ask(method, url, TUS)).status).toBe(404);
    expect(await tus.files()).toEqual([]);
    expect((await tus.ask('HEAD', '/v1/uploads/..%2f..%2fetc%2fpasswd', TUS)).status).toBe(404);
  });

  it('can be sent by POST alone (X-HTTP-Method-Override)', async () => {
    const content = await aPhoto();
    const url = await tus.begin(content);
    const by = (method: string, headers: Headers = {}, payload?: Buffer) =>
      tus.ask('POST', url, { ...TUS, 'x-http-method-override': method, ...headers }, payload);
    const sent = await by('PATCH', { ...CHUNK, 'upload-offset': '0' }, content.subarray(0, 5));
    expect([sent.status, sent.headers['upload-offset']]).toEqual([204, '5']);
    expect((await by('HEAD')).headers['upload-offset']).toBe('5');
    expect((await by('DELETE')).status).toBe(204);
    expect((await by('GET')).status).toBe(400);
  });

  it('is nobody’s but its sender’s', async () => {
    const content = await aPhoto();
    const url = await tus.begin(content);
    const elsewhere = await placeWithInspection(desk.data());
    for (const other of [
      await crewOf(desk.data(), desk.place),
      await signedIn(desk.data(), desk.place, ['analyst']),
      await crewOf(desk.data(), elsewhere),
    ]) {
      const answers = [
        await tus.ask('HEAD', url, { ...TUS, ...other }),
        await tus.send(url, 0, content, other),
        await tus.ask('DELETE', url, { ...TUS, ...other }),
        await tus.receipt(url, content, other),
      ];
      expect(answers.map(({ status }) => status)).toEqual([404, 404, 404, 404]);
    }
    expect((await tus.ask('HEAD', url, TUS)).headers['upload-offset']).toBe('0');
  });

  it('with other bytes than its hash says is refused (460), also when it is asked for again', async () => {
    const content = await aPhoto();
    const originals = async () => (await keptFiles(desk.photos)).filter((file) => file.startsWith('originals/'));
    const before = await originals();
    const url = await tus.begin(content, { sha256: sha256(Buffer.from('another photo')) });
    const sent = await tus.send(url, 0, content);
    expect([sent.status, sent.body['type']]).toEqual([460, '/problems/upload-digest-mismatch']);
    expect((await tus.receipt(url, Buffer.from('another photo'))).status).toBe(460);
    await tus.sweep();
    expect([await tus.files(), await desk.data().rows('select 1 from exhibit')]).toEqual([[], []]);
    expect(await originals()).toEqual(before);
  });

  it('of something that is no photo is refused with a sentence', async () => {
    const content = Buffer.from('<svg xmlns="http://www.w3.org/2000/svg"/>');
    const sent = await tus.send(await tus.begin(content), 0, content);
    expect([sent.status, sent.body['detail']]).toEqual([415, expect.stringMatching(/^SVG drawings are not kept here/)]);
    expect(await tus.files()).toEqual([]);
  });

  it('has a limit on how many are open at once', async () => {
    const content = await aPhoto();
    const headers = { ...TUS, 'upload-length': String(content.length) };
    for (let n = 0; n < 20; n += 1) await tus.begin(content);
    const over = await tus.ask('POST', '/v1/uploads', { ...headers, 'upload-metadata': tus.metadata(content) });
    expect([over.status, over.body['type'], over.headers['retry-after']]).toEqual([
      429,
      '/problems/too-many-uploads',
      '60',
    ]);
    const colleague = await signedIn(desk.data(), desk.place, ['analyst']);
    const theirs = await tus.ask('POST', '/v1/uploads', {
      ...headers,
      'upload-metadata': tus.metadata(content),
      ...colleague,
    });
    expect(theirs.status).toBe(201);
  });
});
