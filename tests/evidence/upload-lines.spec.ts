import { appendFile, readFile, stat } from 'node:fs/promises';
import { request as httpRequest } from 'node:http';
import type { AddressInfo } from 'node:net';
import { Upload } from 'tus-js-client';
import { describe, expect, it } from 'vitest';
import { UploadSweepService } from '../../src/evidence/uploads/upload-sweep.service.js';
import { aPhoto, photoDesk } from '../support/photo-desk.js';
import { photoApp } from '../support/photo-scene.js';
import { CHUNK, sha256, TUS, TusDesk } from '../support/tus-desk.js';

const desk = photoDesk();
const tus = new TusDesk(desk);

describe('an upload over a bad line', () => {
  it('that lost its last answer is found complete, and is taken in by the next sweep', async () => {
    const content = await aPhoto();
    const url = await tus.begin(content);
    // What a process leaves that ends after the last byte and before anything else.
    await appendFile(tus.fileOf(url), content);
    expect((await tus.ask('HEAD', url, TUS)).headers['upload-offset']).toBe(String(content.length));
    expect(await desk.data().rows('select 1 from exhibit')).toEqual([]);
    await tus.sweep();
    await tus.sweep();
    expect(await desk.data().rows('select sha256 from exhibit')).toEqual([{ sha256: sha256(content) }]);
    expect((await tus.receipt(url, content)).body).toMatchObject({ sha256: sha256(content) });
    expect(await readFile(tus.fileOf(url))).toEqual(content);
  });

  it('expires, and takes its bytes with it but not the photo', async () => {
    const [kept, half] = [await aPhoto(), await aPhoto()];
    const [keptUrl, halfUrl] = [await tus.begin(kept), await tus.begin(half)];
    await tus.send(keptUrl, 0, kept);
    await tus.send(halfUrl, 0, half.subarray(0, 10));
    desk.photos.clock.advance({ hours: 47, minutes: 59 });
    await tus.sweep();
    expect(await tus.files()).toHaveLength(4);
    desk.photos.clock.advance({ minutes: 1 });
    expect((await tus.ask('HEAD', halfUrl, TUS)).status).toBe(404);
    await tus.sweep();
    expect([await tus.files(), await desk.data().rows('select 1 from photo_upload')]).toEqual([[], []]);
    expect(await desk.data().rows('select sha256 from exhibit')).toEqual([{ sha256: sha256(kept) }]);
    desk.photos.clock.advance({ hours: -48 });
  });

  it('keeps what came when the sender goes away in the middle of a piece, which is nobody’s fault', async () => {
    await desk.photos.app.listen(0, '127.0.0.1');
    const { port } = desk.photos.app.getHttpServer().address() as AddressInfo;
    const content = await aPhoto();
    const url = await tus.begin(content);
    const headers = { ...desk.crew, ...CHUNK, 'upload-offset': '0', 'content-length': String(content.length) };
    const sending = httpRequest({ port, path: url, method: 'PATCH', headers });
    const broken = new Promise<void>((settle) => sending.on('error', () => settle()));
    sending.write(content.subarray(0, 300));
    await expect.poll(async () => (await stat(tus.fileOf(url))).size, { interval: 5 }).toBe(300);
    sending.destroy(new Error('out of coverage'));
    await broken;
    await expect.poll(async () => (await tus.ask('HEAD', url, TUS)).headers['upload-offset']).toBe('300');
    expect((await tus.send(url, 300, content.subarray(300))).status).toBe(204);
    expect(await desk.data().rows('select sha256 from exhibit')).toEqual([{ sha256: sha256(content) }]);
    expect(desk.photos.lines.filter(({ level }) => level === 'error')).toEqual([]);
  });

  it('that another process refused in the same moment ends with that process’s refusal', async () => {
    const content = await aPhoto();
    const url = await tus.begin(content, { sha256: sha256(Buffer.from('another photo')) });
    await appendFile(tus.fileOf(url), content);
    const [one, two] = [desk.photos, await photoApp(desk.data(), { AS_NOTED_STATE: desk.photos.config.stateDir })];
    try {
      const ask = (app: typeof one) =>
        app.app.inject({
          method: 'PUT',
          url: `${url}/receipt`,
          headers: { ...desk.crew, 'content-type': 'application/json' },
          payload: { sha256: sha256(Buffer.from('another photo')) },
        });
      const answers = await Promise.all([ask(one), ask(two), ask(one), ask(two)]);
      expect(answers.map(({ statusCode }) => statusCode)).toEqual([460, 460, 460, 460]);
    } finally {
      await two.close();
    }
  });

  it('is taken in once when several processes finish it at once', async () => {
    const content = await aPhoto();
    const url = await tus.begin(content);
    await appendFile(tus.fileOf(url), content);
    const two = await photoApp(desk.data(), { AS_NOTED_STATE: desk.photos.config.stateDir });
    try {
      const sweeps = [desk.photos, two].map(({ app }) => app.get(UploadSweepService).sweep());
      await Promise.all([...sweeps, tus.receipt(url, content)]);
      expect(await desk.data().rows('select sha256 from exhibit')).toEqual([{ sha256: sha256(content) }]);
      expect(await desk.data().rows('select photos::int from exhibit_usage')).toEqual([{ photos: 1 }]);
      expect(await desk.data().rows(`select 1 from pgboss.job where name = 'read-photo'`)).toHaveLength(1);
    } finally {
      await two.close();
    }
  });

  it('is resumed by a common client after the line broke', async () => {
    if (!desk.photos.app.getHttpServer().listening) await desk.photos.app.listen(0, '127.0.0.1');
    const { port } = desk.photos.app.getHttpServer().address() as AddressInfo;
    const content = await aPhoto();
    const fields = Object.fromEntries(
      tus
        .metadata(content)
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
