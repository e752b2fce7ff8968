import { randomBytes, randomUUID } from 'node:crypto';
import { readFile } from 'node:fs/promises';
import { join } from 'node:path';
import sharp from 'sharp';
import { beforeEach, describe, expect, it } from 'vitest';
import { FingerprintSearchService } from '../../src/evidence/fingerprint-search.service.js';
import { ReuseProcess } from '../../src/evidence/imaging/reuse-process.js';
import { photoDesk } from '../support/photo-desk.js';
import { claimOn, crewOf, placeWithInspection, signedIn, type Place } from '../support/photo-scene.js';

const desk = photoDesk();
let elsewhere: Place;
let analyst: { authorization: string };

beforeEach(async () => {
  // Another customer of the same retailer.
  elsewhere = await placeWithInspection(desk.data(), desk.place);
  analyst = await signedIn(desk.data(), desk.place, ['analyst']);
});

const sample = (path: string): Promise<Buffer> =>
  readFile(join(import.meta.dirname, '../../sample-claims', path.replace('/', '/photos/')));
const RAIL = 'bed-rail-bent-noted/08-rail-close.jpg';

/** Sends a photo in the other visit, with everything that follows. */
async function sendElsewhere(content: Buffer, place = elsewhere, query?: string): Promise<string> {
  desk.photos.clock.moveTo(desk.photos.clock.now().add({ minutes: 1 }));
  const headers = await crewOf(desk.data(), place);
  const { id, status } = await desk.put(content, {
    headers,
    inspection: place.inspection,
    ...(query === undefined ? {} : { query }),
  });
  expect(status).toBe(201);
  await desk.photos.workOff();
  return id;
}

async function sendHere(content: Buffer): Promise<string> {
  const { id } = await desk.put(content);
  await desk.photos.workOff();
  return id;
}

interface Pair {
  readonly id: string;
  readonly band: string;
  readonly foundBy: string;
  readonly turn?: string;
  readonly rate?: object;
  readonly later: { readonly id: string; readonly claims: readonly { readonly number: string }[] };
  readonly earlier: { readonly id: string; readonly claims: readonly { readonly number: string }[] };
  readonly opinions: readonly { readonly opinion: string; readonly words: string }[];
}

async function pairsOf(id: string): Promise<{ comparison?: { says?: string; closely: number }; items: Pair[] }> {
  const answer = await desk.get(`/v1/photos/${id}/pairs`, analyst);
  expect(answer.statusCode).toBe(200);
  return answer.json();
}

describe('a photo of another visit', () => {
  it.each([
    [
      'compressed again',
      (photo: Buffer) => sharp(photo).jpeg({ quality: 40 }).toBuffer(),
      'same picture',
      'fingerprint',
      'upright',
    ],
    [
      'half the size',
      (photo: Buffer) => sharp(photo).resize({ width: 600 }).jpeg().toBuffer(),
      'same picture',
      'fingerprint',
      'upright',
    ],
    [
      'brighter',
      (photo: Buffer) => sharp(photo).linear(1.2, 0).jpeg().toBuffer(),
      'same picture',
      'fingerprint',
      'upright',
    ],
    // Turning the copy back to the left makes it the original.
    [
      'turned to the right',
      (photo: Buffer) => sharp(photo).rotate(90).jpeg().toBuffer(),
      '',
      'fingerprint',
      'turned by 90° to the left',
    ],
    ['mirrored', (photo: Buffer) => sharp(photo).flop().jpeg().toBuffer(), '', 'fingerprint', 'mirrored left to right'],
    [
      'cut to its middle',
      (photo: Buffer) => sharp(photo).extract({ left: 150, top: 200, width: 900, height: 1200 }).jpeg().toBuffer(),
      'check',
      'local features',
      undefined,
    ],
  ] as const)('%s is shown beside it', async (_how, change, band, foundBy, turn) => {
    const original = await sharp(await sample(RAIL))
      .resize(1200, 1600, { fit: 'cover' })
      .jpeg()
      .toBuffer();
    const here = await sendHere(original);
    const copy = await sendElsewhere(await change(original));
    const { items } = await pairsOf(copy);
    expect(items).toHaveLength(1);
    const [pair] = items;
    expect([pair?.later.id, pair?.earlier.id, pair?.foundBy]).toEqual([copy, here, foundBy]);
    if (band !== '') expect(pair?.band).toBe(band);
    if (turn !== undefined) expect(pair?.turn).toBe(turn);
    expect(pair?.rate).toMatchObject({ flagged: 0 });
    expect((await pairsOf(here)).items).toEqual(items);
  });

  it('inside a screenshot is found', async () => {
    const original = await sample(RAIL);
    const here = await sendHere(original);
    const inside = await sharp(original).resize(1000, 1500, { fit: 'inside' }).toBuffer();
    const screenshot = await sharp({ create: { width: 1080, height: 2340, channels: 3, background: '#000000' } })
      .composite([{ input: inside, left: 40, top: 500 }])
      .png()
      .toBuffer();
    const copy = await sendElsewhere(screenshot);
    expect((await pairsOf(copy)).items.map(({ earlier }) => earlier.id)).toEqual([here]);
  });

  it('that shows something else is not', async () => {
    await sendHere(await sample(RAIL));
    const other = await sendElsewhere(await sample('desk-thread-stripped/01-desk-wide.jpg'));
    const { items, comparison } = await pairsOf(other);
    expect(items).toEqual([]);
    expect(comparison).toMatchObject({ closely: 1 });
  });

  it('of the same visit is no news', async () => {
    const original = await sample(RAIL);
    await sendHere(original);
    const again = await sendHere(await sharp(original).jpeg({ quality: 50 }).toBuffer());
    expect((await pairsOf(again)).items).toEqual([]);
  });

  it('of another tenant is never seen', async () => {
    const stranger = await placeWithInspection(desk.data());
    const original = await sample(RAIL);
    await sendElsewhere(original, stranger);
    const here = await sendHere(original);
    expect((await pairsOf(here)).items).toEqual([]);
  });

  it('that is flat is compared by its bytes alone, and says so', async () => {
    const flat = await sharp({ create: { width: 300, height: 300, channels: 3, background: '#777777' } })
      .jpeg()
      .toBuffer();
    const here = await sendHere(flat);
    const same = await sendElsewhere(flat);
    const { items, comparison } = await pairsOf(same);
    expect(items.map(({ earlier, foundBy, band }) => [earlier.id, foundBy, band])).toEqual([
      [here, 'same bytes', 'same picture'],
    ]);
    expect(comparison?.says).toMatch(/too flat to be compared/);
    const lookalike = await sendElsewhere(
      await sharp({ create: { width: 310, height: 300, channels: 3, background: '#777777' } })
        .jpeg()
        .toBuffer(),
    );
    expect((await pairsOf(lookalike)).items).toEqual([]);
  });
});

describe('a pair', () => {
  async function aPair(): Promise<Pair> {
    const original = await sample(RAIL);
    await sendHere(original);
    const copy = await sendElsewhere(await sharp(original).jpeg({ quality: 50 }).toBuffer());
    const [pair] = (await pairsOf(copy)).items;
    if (!pair) throw new Error('no pair');
    return pair;
  }

  it('names the claims of both photos, and is listed for the inspection of each', async () => {
    await claimOn(desk.data(), desk.place);
    const pair = await aPair();
    expect(pair.earlier.claims.map(({ number }) => number)).toEqual(['482177305']);
    expect(pair.later.claims).toEqual([]);
    for (const place of [desk.place, elsewhere]) {
      const list = await desk.get(`/v1/inspections/${place.inspection}/photo-pairs`, analyst);
      expect(list.json<{ items: Pair[] }>().items.map(({ id }) => id)).toEqual([pair.id]);
    }
  });

  it('takes opinions with words, each beside the others, and never loses one', async () => {
    const pair = await aPair();
    const say = (opinion: string, words: string) =>
      desk.photos.app.inject({
        method: 'POST',
        url: `/v1/photo-pairs/${pair.id}/opinions`,
        headers: { ...analyst, 'idempotency-key': `"${randomUUID()}"` },
        payload: { opinion, words },
      });
    expect((await say('same thing', 'The scratch is the same.')).statusCode).toBe(201);
    expect((await say('different thing', 'Another base of the same model.')).statusCode).toBe(201);
    const after = (await desk.get(`/v1/photo-pairs/${pair.id}`, analyst)).json<Pair>();
    expect(after.opinions.map(({ opinion }) => opinion)).toEqual(['same thing', 'different thing']);
    expect((await say('same thing', '')).statusCode).toBe(400);
    expect((await say('fraud', 'x')).statusCode).toBe(400);
    await expect(desk.data().rows(`update photo_pair_opinion set words = 'x'`)).rejects.toThrow();
    await expect(desk.data().rows('delete from photo_pair')).rejects.toThrow();
  });

  it('is for analysts of the tenant only', async () => {
    const pair = await aPair();
    const crew = await crewOf(desk.data(), elsewhere);
    const retailer = await signedIn(desk.data(), desk.place, ['retailer']);
    const administrator = await signedIn(desk.data(), desk.place, ['administrator']);
    const stranger = await signedIn(desk.data(), await placeWithInspection(desk.data()), ['analyst']);
    for (const url of [`/v1/photo-pairs/${pair.id}`, `/v1/photos/${pair.later.id}/pairs`]) {
      for (const headers of [crew, retailer, administrator]) {
        expect((await desk.get(url, headers)).statusCode).toBe(403);
      }
      expect((await desk.get(url, stranger)).statusCode).toBe(404);
    }
  });

  it('leaves a photo that was withdrawn in peace', async () => {
    const original = await sample(RAIL);
    const here = await sendHere(original);
    await desk.photos.app.inject({
      method: 'POST',
      url: `/v1/photos/${here}/withdrawal`,
      headers: { ...desk.crew, 'idempotency-key': `"${randomUUID()}"` },
    });
    const copy = await sendElsewhere(await sharp(original).jpeg({ quality: 50 }).toBuffer());
    expect((await pairsOf(copy)).items).toEqual([]);
  });
});

describe('the search', () => {
  /** Photos of one tenant that exist as fingerprints only. */
  async function fingerprints(place: Place, count: number): Promise<Buffer[]> {
    const prints = Array.from({ length: count }, () => randomBytes(32));
    for (const print of prints) {
      const id = randomUUID();
      await desk.data().rows(
        `insert into exhibit (id, tenant_id, visit_id, inspection_id, item, shows, sha256, bytes, media_type, received_at, received_by, state)
         values ($1, $2, $3, $4, 'a', 'b', $5, 1, 'image/jpeg', now(), '{"kind":"link","id":"x","name":"x"}', 'pending')`,
        [id, place.tenant, place.visit, place.inspection, randomBytes(32).toString('hex')],
      );
      await desk
        .data()
        .rows(
          `insert into exhibit_fingerprint (tenant_id, visit_id, exhibit_id, part, pdq, turned, quality) values ($1, $2, $3, 'whole', $4, $5, 90)`,
          [place.tenant, place.visit, id, print, Buffer.alloc(256, print)],
        );
    }
    return prints;
  }

  it('answers from memory what plain SQL answers, follows what comes after, and never mixes tenants', async () => {
    const search = desk.photos.app.get(FingerprintSearchService);
    const process = desk.photos.app.get(ReuseProcess);
    const other = await placeWithInspection(desk.data());
    const own = await fingerprints(desk.place, 150);
    const theirs = await fingerprints(other, 50);
    const wanted = { limit: 110, most: 1000 };
    const both = async (tenant: string, queries: Buffer[]) => {
      const bytes = queries.map((query) => Uint8Array.from(query));
      const bySql = await search.near(tenant, bytes, wanted);
      const inMemory = await search.near(tenant, bytes, wanted, 0);
      expect(inMemory.neighbours).toEqual(bySql.neighbours);
      return { sql: bySql, memory: inMemory };
    };
    for (let n = 0; n < 150; n += 17) {
      const { memory } = await both(desk.place.tenant, [...own.slice(n, n + 3), randomBytes(32)]);
      expect(memory.neighbours.filter(({ distance }) => distance === 0)).toHaveLength(3 - Math.max(0, n + 3 - 150));
      expect(memory.compared).toBe(150);
    }
    const { memory: theirView } = await both(other.tenant, own.slice(0, 5));
    expect(theirView.neighbours.filter(({ distance }) => distance === 0)).toEqual([]);
    expect(theirView.compared).toBe(50);
    const [late] = await fingerprints(desk.place, 1);
    const { memory: followed } = await both(desk.place.tenant, [late ?? Buffer.alloc(32)]);
    expect(followed.neighbours[0]?.distance).toBe(0);
    // Killed in the middle, it comes back with everything.
    globalThis.process.kill(process.pid ?? 0, 'SIGKILL');
    const { memory: rebuilt } = await (async () => {
      for (;;) {
        try {
          return await both(desk.place.tenant, theirs.slice(0, 2));
        } catch (error) {
          expect(String(error)).toMatch(/process that compares photos/);
        }
      }
    })();
    expect(rebuilt.compared).toBe(151);
  });
});
