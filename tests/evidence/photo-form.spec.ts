import { createHash } from 'node:crypto';
import { describe, expect, it } from 'vitest';
import { aPhoto, photoDesk } from '../support/photo-desk.js';

const desk = photoDesk();

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
    const answer = await desk.photos.app.inject({
      method: 'POST',
      url: `/v1/inspections/${desk.place.inspection}/photos`,
      headers: { ...desk.crew, 'content-type': `multipart/form-data; boundary=${boundary}` },
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
    expect(await desk.data().rows('select file_name, shows from exhibit order by file_name')).toEqual([
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
