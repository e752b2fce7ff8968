import { randomUUID } from 'node:crypto';
import sharp from 'sharp';
import { describe, expect, it } from 'vitest';
import { MarksService } from '../../src/evidence/marks.service.js';
import { Database } from '../../src/platform/db/database.js';
import { aPhoto, photoDesk, problem } from '../support/photo-desk.js';
import { crewOf, placeWithInspection, signedIn } from '../support/photo-scene.js';

const desk = photoDesk();

const RECTANGLE = {
  type: 'FragmentSelector',
  conformsTo: 'http://www.w3.org/TR/media-frags/',
  value: 'xywh=percent:25,25,50,50',
};

async function post(url: string, headers: { authorization: string }, payload: object = {}) {
  const answer = await desk.photos.app.inject({
    method: 'POST',
    url,
    headers: { ...headers, 'idempotency-key': `"${randomUUID()}"` },
    payload,
  });
  return { status: answer.statusCode, body: answer.json<Record<string, unknown> & { id: string }>() };
}

async function readPhoto() {
  const content = await aPhoto();
  const { id, body } = await desk.put(content);
  await desk.photos.workOff();
  return { id, sha256: String(body['sha256']), marks: `/v1/photos/${id}/marks` };
}

describe('marks in a photo', () => {
  it('are kept as web annotations with who, when, and which photo was looked at', async () => {
    const { id, sha256, marks } = await readPhoto();
    const analyst = await signedIn(desk.data(), desk.place, ['analyst']);
    const made = await post(marks, analyst, { selector: RECTANGLE, says: 'The rail is bent here.' });
    expect(made.status).toBe(201);
    expect(made.body).toMatchObject({
      '@context': 'http://www.w3.org/ns/anno.jsonld',
      type: 'Annotation',
      created: '2026-03-02T09:00:00.000Z',
      creator: { kind: 'person', name: expect.any(String) },
      body: { type: 'TextualBody', value: 'The rail is bent here.', purpose: 'commenting' },
      target: { source: `/v1/photos/${id}`, selector: RECTANGLE },
      // Stored on its side as 64 × 48: upright it is 48 wide.
      photo: { sha256, width: 48, height: 64, pipeline: 'upright/1' },
    });
    const crewSees = (await desk.get(marks, desk.crew)).json<{ items: unknown[] }>();
    expect(crewSees.items).toEqual([made.body]);
  });

  it('come from the crew too, as a drawing', async () => {
    const { marks } = await readPhoto();
    const value = '<svg viewBox="0 0 48 64"><polygon points="4.8,6.4 24,12.8 14.4,51.2"/></svg>';
    const { status, body } = await post(marks, desk.crew, { selector: { type: 'SvgSelector', value } });
    expect([status, body['polygon']]).toEqual([
      201,
      [
        [0.1, 0.1],
        [0.5, 0.2],
        [0.3, 0.8],
      ],
    ]);
  });

  it('are taken back once, and stay on record with who did so', async () => {
    const { marks } = await readPhoto();
    const { body } = await post(marks, desk.crew, { selector: RECTANGLE });
    desk.photos.clock.advance({ minutes: 5 });
    const analyst = await signedIn(desk.data(), desk.place, ['analyst']);
    const first = await post(`${marks}/${body.id}/withdrawal`, analyst);
    expect(first.body).toMatchObject({ id: body.id, withdrawnBy: { kind: 'person' } });
    desk.photos.clock.advance({ minutes: 5 });
    const second = await post(`${marks}/${body.id}/withdrawal`, desk.crew);
    expect(second.body).toEqual(first.body);
  });

  it('stand at an instant as they stood then, for copies that must come out the same again', async () => {
    const { id, marks } = await readPhoto();
    const now = () => desk.photos.clock.now().toString();
    const before = now();
    desk.photos.clock.advance({ minutes: 1 });
    const { body } = await post(marks, desk.crew, { selector: RECTANGLE, says: 'Here.' });
    const marked = now();
    desk.photos.clock.advance({ minutes: 1 });
    await post(`${marks}/${body.id}/withdrawal`, desk.crew);
    const standing = (at: string) =>
      desk.photos.app.get(Database).inTenant({ tenant: desk.place.tenant }, async (tx) => {
        const found = await desk.photos.app.get(MarksService).standingAt(tx, desk.place.tenant, [id], at);
        return (found.get(id) ?? []).map(({ says }) => says);
      });
    expect([await standing(before), await standing(marked), await standing(now())]).toEqual([[], ['Here.'], []]);
  });

  it('are never changed or removed, not even by the owner of the tables', async () => {
    const { marks } = await readPhoto();
    await post(marks, desk.crew, { selector: RECTANGLE });
    await expect(desk.data().rows(`update exhibit_mark set says = 'x'`)).rejects.toThrow(/exhibit_mark/);
    await expect(desk.data().rows('delete from exhibit_mark')).rejects.toThrow(/exhibit_mark/);
  });

  it('leave the original and the renditions as they are', async () => {
    const { id, marks } = await readPhoto();
    const picture = async () => (await desk.get(`/v1/photos/${id}/renditions/1024`, desk.crew)).rawPayload;
    const before = await picture();
    await post(marks, desk.crew, { selector: RECTANGLE });
    expect((await picture()).equals(before)).toBe(true);
    expect((await sharp(before).metadata()).width).toBe(48);
  });

  it.each([
    [{ selector: { type: 'FragmentSelector', value: 't=1,2' } }, '#/selector'],
    [{ selector: { type: 'SvgSelector', value: '<svg><script/></svg>' } }, '#/selector'],
    [{ selector: { type: 'PathSelector', value: 'x' } }, '#/selector/type'],
    [{}, '#/selector'],
  ])('are refused for %j', async (wish, pointer) => {
    const { marks } = await readPhoto();
    const { status, body } = await post(marks, desk.crew, wish);
    const errors = body['errors'] as { pointer: string }[];
    expect([status, errors.map((error) => error.pointer)]).toEqual([400, [pointer]]);
  });

  it('wait until there is a picture', async () => {
    const { id } = await desk.put(await aPhoto());
    expect(await problem(post(`/v1/photos/${id}/marks`, desk.crew, { selector: RECTANGLE }))).toBe('404 not-found');
  });

  it('are out of reach for other visits, other houses, administrators who may only look, and a foreign photo', async () => {
    const { id, marks } = await readPhoto();
    const { body } = await post(marks, desk.crew, { selector: RECTANGLE });
    const elsewhere = await placeWithInspection(desk.data(), desk.place);
    const abroad = await placeWithInspection(desk.data());
    const strangers = [
      await crewOf(desk.data(), elsewhere),
      await crewOf(desk.data(), abroad),
      await signedIn(desk.data(), abroad, ['analyst']),
    ];
    for (const stranger of strangers) {
      expect(await problem(post(marks, stranger, { selector: RECTANGLE }))).toBe('404 not-found');
      expect(await problem(post(`${marks}/${body.id}/withdrawal`, stranger))).toBe('404 not-found');
      expect((await desk.get(marks, stranger)).statusCode).toBe(404);
    }
    const administrator = await signedIn(desk.data(), desk.place, ['administrator']);
    expect((await desk.get(marks, administrator)).statusCode).toBe(200);
    expect(await problem(post(marks, administrator, { selector: RECTANGLE }))).toBe('403 not-allowed');
    const other = await readPhoto();
    expect(other.id).not.toBe(id);
    expect(await problem(post(`${other.marks}/${body.id}/withdrawal`, desk.crew))).toBe('404 not-found');
  });
});
