import { randomUUID } from 'node:crypto';
import { describe, expect, it } from 'vitest';
import { aPhoto, photoDesk, problem } from '../support/photo-desk.js';
import { claimOn, crewOf, placeWithInspection, signedIn } from '../support/photo-scene.js';

const desk = photoDesk();

describe('who sees what', () => {
  it('hides everything of another tenant and another visit', async () => {
    const { id } = await desk.put(await aPhoto());
    await desk.photos.workOff();
    const elsewhere = await placeWithInspection(desk.data());
    const nextDoor = await placeWithInspection(desk.data(), desk.place);
    for (const headers of [
      await crewOf(desk.data(), elsewhere),
      await signedIn(desk.data(), elsewhere, ['analyst']),
      await crewOf(desk.data(), nextDoor),
    ]) {
      for (const url of [
        `/v1/photos/${id}`,
        `/v1/photos/${id}/renditions/256`,
        `/v1/inspections/${desk.place.inspection}/photos`,
      ]) {
        expect((await desk.get(url, headers)).statusCode).toBe(404);
      }
      expect(await problem(desk.put(await aPhoto(), { headers }))).toBe('404 not-found');
    }
    const stranger = await desk.get(`/v1/photos/${id}/original`, await signedIn(desk.data(), elsewhere, ['analyst']));
    expect(stranger.statusCode).toBe(404);
  });

  it('does not let an id of another tenant be taken over or looked into', async () => {
    const content = await aPhoto();
    const { id } = await desk.put(content);
    const elsewhere = await placeWithInspection(desk.data());
    const headers = await crewOf(desk.data(), elsewhere);
    expect(await problem(desk.put(content, { id, inspection: elsewhere.inspection, headers }))).toBe(
      '409 photo-id-taken',
    );
  });

  it('hands originals to analysts only', async () => {
    const { id } = await desk.put(await aPhoto());
    for (const roles of [['administrator'], ['policy owner']] as const) {
      expect(
        (await desk.get(`/v1/photos/${id}/original`, await signedIn(desk.data(), desk.place, roles))).statusCode,
      ).toBe(403);
    }
    expect((await desk.get(`/v1/photos/${id}/original`, desk.crew)).statusCode).toBe(403);
  });

  it('shows a retailer renditions of its own claims and nothing else', async () => {
    const { id } = await desk.put(await aPhoto());
    await desk.photos.workOff();
    const own = await signedIn(desk.data(), desk.place, ['retailer']);
    const picture = `/v1/photos/${id}/renditions/256`;
    expect((await desk.get(picture, own)).statusCode).toBe(404);
    await claimOn(desk.data(), desk.place);
    expect((await desk.get(picture, own)).statusCode).toBe(200);
    expect((await desk.get(`/v1/photos/${id}`, own)).statusCode).toBe(403);
    expect((await desk.get(`/v1/photos/${id}/original`, own)).statusCode).toBe(403);
    const rival = await placeWithInspection(desk.data(), {
      tenant: desk.place.tenant,
      retailer: await otherRetailer(),
    });
    expect((await desk.get(picture, await signedIn(desk.data(), rival, ['retailer']))).statusCode).toBe(404);
  });

  async function otherRetailer(): Promise<string> {
    const id = randomUUID();
    await desk
      .data()
      .rows(`insert into retailer (id, tenant_id, name, code) values ($1, $2, 'Fjordbo', $3)`, [
        id,
        desk.place.tenant,
        id.slice(0, 8),
      ]);
    return id;
  }

  it('takes a withdrawn photo out for everybody but analysts, once and for all', async () => {
    const { id } = await desk.put(await aPhoto());
    await desk.photos.workOff();
    const withdraw = (key: string) =>
      desk.photos.app.inject({
        method: 'POST',
        url: `/v1/photos/${id}/withdrawal`,
        headers: { ...desk.crew, 'idempotency-key': `"${key}"` },
      });
    const first = await withdraw('one');
    expect([first.statusCode, first.json<{ withdrawnAt: string }>().withdrawnAt]).toEqual([
      201,
      '2026-03-02T09:00:00.000Z',
    ]);
    expect((await withdraw('two')).json<{ withdrawnAt: string }>().withdrawnAt).toBe('2026-03-02T09:00:00.000Z');
    expect((await desk.get(`/v1/photos/${id}/renditions/256`, desk.crew)).statusCode).toBe(404);
    expect(
      (await desk.get(`/v1/photos/${id}/renditions/256`, await signedIn(desk.data(), desk.place, ['analyst'])))
        .statusCode,
    ).toBe(200);
    expect(await desk.data().rows(`select withdrawn_by like 'link:%' by_crew from exhibit`)).toEqual([
      { by_crew: true },
    ]);
  });

  it('lists the photos of an inspection a page at a time', async () => {
    const sent: string[] = [];
    for (let n = 0; n < 5; n += 1) {
      desk.photos.clock.advance({ milliseconds: n % 2 });
      sent.push((await desk.put(await aPhoto())).id);
    }
    const seen: string[] = [];
    let next: string | undefined;
    do {
      const cursor = next === undefined ? '' : `&cursor=${next}`;
      const page = await desk.get(`/v1/inspections/${desk.place.inspection}/photos?limit=2${cursor}`, desk.crew);
      const body = page.json<{ items: { id: string }[]; next?: string }>();
      seen.push(...body.items.map(({ id }) => id));
      next = body.next;
    } while (next !== undefined);
    expect([...seen].sort()).toEqual([...sent].sort());
    expect(new Set(seen).size).toBe(5);
  });
});
