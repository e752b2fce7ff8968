import { describe, expect, it } from 'vitest';
import { aPhoto, photoDesk } from '../support/photo-desk.js';
import { TUS, TusDesk } from '../support/tus-desk.js';

const desk = photoDesk();
const tus = new TusDesk(desk);

describe('the quota of a house', () => {
  it('is told before bytes are sent, and counts what is there already', async () => {
    const [first, second] = [await aPhoto(), await aPhoto()];
    await desk.put(first);
    await desk.data().rows('update exhibit_usage set max_photos = 1');
    const url = '/v1/uploads';
    const headers = { ...TUS, 'upload-length': '100', 'upload-metadata': tus.metadata(second) };
    const full = await tus.ask('POST', url, headers);
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
