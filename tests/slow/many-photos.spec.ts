import { createHash, randomUUID } from 'node:crypto';
import { readdir } from 'node:fs/promises';
import sharp from 'sharp';
import { expect, it } from 'vitest';
import { UploadSweepService } from '../../src/evidence/uploads/upload-sweep.service.js';
import { pngChunk } from '../support/broken-photos.js';
import { photoDesk } from '../support/photo-desk.js';
import { keptFiles } from '../support/photo-scene.js';

const desk = photoDesk();
const MANY = 10_000;
const SIDE_BY_SIDE = 16;

/** A whole PNG of 8 × 8 pixels that no other number gives: the number stands in a text chunk. */
async function tinyPhotos(): Promise<(n: number) => Buffer> {
  const png = await sharp({ create: { width: 8, height: 8, channels: 3, background: '#335577' } })
    .png()
    .toBuffer();
  return (n) =>
    Buffer.concat([png.subarray(0, 33), pngChunk('tEXt', Buffer.from(`Comment\0${n}`, 'latin1')), png.subarray(33)]);
}

it('10,000 tiny photos of one inspection are all kept, once each, with nothing left over', async () => {
  const tiny = await tinyPhotos();
  const openFiles = async () => (await readdir('/proc/self/fd').catch(() => [])).length;
  const [filesBefore, openBefore] = [await keptFiles(desk.photos), await openFiles()];
  const sent = Array.from({ length: MANY }, (_, n) => ({ n, id: randomUUID() }));
  const waiting = [...sent];
  const statuses = new Map<number, number>();
  await Promise.all(
    Array.from({ length: SIDE_BY_SIDE }, async () => {
      for (let next = waiting.pop(); next !== undefined; next = waiting.pop()) {
        const { status } = await desk.put(tiny(next.n), { id: next.id, headers: { 'content-type': 'image/png' } });
        statuses.set(status, (statuses.get(status) ?? 0) + 1);
      }
    }),
  );
  expect([...statuses]).toEqual([[201, MANY]]);
  const [counted] = await desk
    .data()
    .rows<{ rows: number; hashes: number }>(
      'select count(*)::int rows, count(distinct sha256)::int hashes from exhibit',
    );
  expect(counted).toEqual({ rows: MANY, hashes: MANY });
  expect(await desk.data().rows('select photos::int from exhibit_usage')).toEqual([{ photos: MANY }]);
  const kept = (await keptFiles(desk.photos)).filter((file) => !filesBefore.includes(file));
  const wanted = new Set(sent.map(({ n }) => createHash('sha256').update(tiny(n)).digest('hex')));
  expect(kept.filter((file) => !wanted.has(file.slice(-64)))).toEqual([]);
  expect(kept).toHaveLength(MANY);
  expect((await openFiles()) - openBefore).toBeLessThan(20);
  await desk.photos.app.get(UploadSweepService).sweep();

  const seen = new Set<string>();
  let cursor: string | undefined;
  do {
    const url = `/v1/inspections/${desk.place.inspection}/photos?limit=200${cursor === undefined ? '' : `&cursor=${cursor}`}`;
    const page = (await desk.get(url, desk.crew)).json<{ items: { id: string }[]; next?: string }>();
    for (const { id } of page.items) seen.add(id);
    cursor = page.next;
  } while (cursor !== undefined);
  expect(seen).toEqual(new Set(sent.map(({ id }) => id)));
});

it('the first 300 of them are read, and shown', async () => {
  const tiny = await tinyPhotos();
  const ids: string[] = [];
  for (let n = 0; n < 300; n += 1) {
    ids.push((await desk.put(tiny(n), { headers: { 'content-type': 'image/png' } })).id);
  }
  expect(await desk.photos.workOff()).toBe(300);
  expect(await desk.data().rows('select state, count(*)::int n from exhibit group by state')).toEqual([
    { state: 'read', n: 300 },
  ]);
  const shown = await desk.get(`/v1/photos/${ids[0]}/renditions/2048`, desk.crew);
  expect(await sharp(shown.rawPayload).metadata()).toMatchObject({ format: 'webp', width: 8, height: 8 });
  expect((await keptFiles(desk.photos)).filter((file) => file.startsWith('scratch/'))).toEqual([]);
});
