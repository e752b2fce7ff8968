import { afterAll, beforeAll, beforeEach, describe, expect, it } from 'vitest';
import { EvidenceModelsService } from '../../src/diagnosis/evidence-models.service.js';
import { Database } from '../../src/platform/db/database.js';
import { SMALL } from '../support/checklists.js';
import {
  Client,
  codeOf,
  house,
  pointersOf,
  resourceApp,
  shippedJson,
  statusesOf,
  stock,
  type House,
  type Hand,
} from '../support/resources.js';
import type { TestApp } from '../support/test-app.js';
import { freshDatabase } from '../support/test-database.js';

const data = freshDatabase();
let test: TestApp;
let home: House;
const client = new Client(() => test);
const URL = '/v1/checklists/small/versions';

beforeAll(async () => {
  test = await resourceApp(data().url);
});
afterAll(() => test.app.close());
beforeEach(async () => {
  home = await house(data());
});

describe('checklists', () => {
  it('are drafted, changed on top of what was read, published, and never changed again', async () => {
    const drafted = await client.post(home.owner, URL, { document: SMALL });
    expect([drafted.statusCode, drafted.headers['etag'], drafted.headers['location']]).toEqual([
      201,
      '"v1"',
      `${URL}/1`,
    ]);
    const changed = { ...SMALL, title: { en: 'Renamed' } };
    expect(codeOf(await client.put(home.owner, `${URL}/1`, { document: changed }))).toBe('precondition-required');
    const put = await client.put(home.administrator, `${URL}/1`, { document: changed }, '"v1"');
    expect([put.statusCode, put.headers['etag']]).toEqual([200, '"v2"']);
    const unseen = await client.post(home.owner, `${URL}/1/publication`, undefined, { 'if-match': '"v1"' });
    expect([unseen.statusCode, codeOf(unseen)]).toEqual([412, 'version-changed']);
    const published = await client.post(home.owner, `${URL}/1/publication`, undefined, { 'if-match': '"v2"' });
    expect(published.statusCode).toBe(201);
    expect(published.json()).toMatchObject({ state: 'published', title: 'Renamed', publishedBy: home.owner.id });
    const late = await client.put(home.owner, `${URL}/1`, { document: SMALL }, '"v2"');
    expect([late.statusCode, codeOf(late)]).toEqual([409, 'already-published']);
    expect((await client.get(home.analyst, `${URL}/1`)).json()).toEqual(published.json());
    // The database itself refuses, whoever asks.
    await expect(data().rows(`update checklist_version set title = 'x'`)).rejects.toThrow(/never changes/);
  });

  it('take one of two changes at once', async () => {
    await client.post(home.owner, URL, { document: SMALL });
    const answers = await Promise.all(
      ['a', 'b'].map((en) => client.put(home.owner, `${URL}/1`, { document: { ...SMALL, title: { en } } }, '"v1"')),
    );
    expect(statusesOf(answers)).toEqual([200, 412]);
  });

  it('are refused with a pointer to each fault', async () => {
    const twice = { ...SMALL, sections: [...SMALL.sections, ...SMALL.sections] };
    const answer = await client.post(home.owner, URL, { document: twice });
    expect([answer.statusCode, codeOf(answer)]).toEqual([422, 'checklist-invalid']);
    expect(pointersOf(answer).every((pointer) => pointer.startsWith('#/document/sections/'))).toBe(true);
    expect(pointersOf(await client.post(home.owner, '/v1/checklists/other/versions', { document: SMALL }))).toEqual([
      '#/document/id',
    ]);
    expect(pointersOf(await client.post(home.owner, URL, { document: 'text' }))).toContain('#/document');
    expect(pointersOf(await client.post(home.owner, URL, {}))).toContain('#/document');
    expect(codeOf(await client.get(home.owner, `${URL}/one`))).toBe('not-found');
  });

  it('are seen by their tenant only, written by owners and administrators', async () => {
    await client.post(home.owner, URL, { document: SMALL });
    const other = await house(data());
    expect((await client.get(other.analyst, '/v1/checklists')).json()).toEqual({ items: [] });
    expect(codeOf(await client.get(other.analyst, `${URL}/1`))).toBe('not-found');
    expect(codeOf(await client.put(other.owner, `${URL}/1`, { document: SMALL }, '"v1"'))).toBe('not-found');
    expect(codeOf(await client.post(home.analyst, URL, { document: SMALL }))).toBe('not-allowed');
    expect(codeOf(await client.get(home.retailerPerson, '/v1/checklists'))).toBe('not-allowed');
    expect((await client.get(home.analyst, '/v1/checklists')).json()).toMatchObject({ items: [{ code: 'small' }] });
  });
});

describe('evidence models', () => {
  const MODELS = '/v1/evidence-models/bed-base/versions';
  const bed = () => shippedJson('diagnosis', 'bed-base.1');

  it('are published by somebody else than the author', async () => {
    await stock(test, home);
    const drafted = await client.post(home.owner, MODELS, { document: bed() });
    expect([drafted.statusCode, drafted.json<{ version: number }>().version]).toEqual([201, 2]);
    const match = { 'if-match': '"v1"' };
    const own = await client.post(home.owner, `${MODELS}/2/publication`, undefined, match);
    expect([own.statusCode, codeOf(own)]).toEqual([403, 'same-person']);
    const published = await client.post(home.secondOwner, `${MODELS}/2/publication`, undefined, match);
    expect(published.json()).toMatchObject({ state: 'published', createdBy: home.owner.id });
  });

  it('are not published by whoever last changed the draft of somebody else', async () => {
    await stock(test, home);
    await client.post(home.owner, MODELS, { document: bed() });
    const changed = await client.put(
      home.secondOwner,
      `${MODELS}/2`,
      { document: { ...bed(), title: 'Beds' } },
      '"v1"',
    );
    expect([changed.statusCode, changed.headers['etag']]).toEqual([200, '"v2"']);
    const publish = (who: Hand, version: string) =>
      client.post(who, `${MODELS}/2/publication`, undefined, { 'if-match': version });
    const refused = await publish(home.secondOwner, '"v2"');
    expect([refused.statusCode, codeOf(refused)]).toEqual([403, 'same-person']);
    expect(refused.json<{ detail: string }>().detail).toMatch(/^You changed this evidence model last\./);
    // The author has looked at it and saved it, so that two people have seen the whole of it.
    const { document } = changed.json<{ document: object }>();
    expect((await client.put(home.owner, `${MODELS}/2`, { document }, '"v2"')).statusCode).toBe(200);
    expect((await publish(home.owner, '"v3"')).statusCode).toBe(403);
    expect((await publish(home.secondOwner, '"v3"')).statusCode).toBe(201);
  });

  it('are in force from the day on which they begin', async () => {
    await stock(test, home);
    const publish = async (version: number, day: string) => {
      await client.post(home.owner, MODELS, { document: bed() });
      const match = { 'if-match': '"v1"' };
      return client.post(home.secondOwner, `${MODELS}/${version}/publication${day}`, undefined, match);
    };
    const inForce = () =>
      test.app
        .get(Database, { strict: false })
        .inTenant({ tenant: home.tenant }, (tx) =>
          test.app.get(EvidenceModelsService, { strict: false }).published(tx, home.tenant, 'bed-base'),
        );
    // The clock of the tests stands on 2026-03-02 at UTC.
    const late = await publish(2, '?effectiveFrom=2026-03-01');
    expect([late.statusCode, pointersOf(late)]).toEqual([400, ['#/effectiveFrom']]);
    expect(pointersOf(await publish(3, '?effectiveFrom=tomorrow'))).toEqual(['#/effectiveFrom']);
    const coming = await publish(4, '?effectiveFrom=2026-03-04');
    expect(coming.json()).toMatchObject({ state: 'published', effectiveFrom: '2026-03-04' });
    expect((await inForce()).version).toBe(1);
    const before = test.clock.now();
    test.clock.moveTo(Temporal.Instant.from('2026-03-04T00:00:00Z'));
    expect((await inForce()).version).toBe(4);
    test.clock.moveTo(before);
  });

  it('are refused when they do not fit the checklist of the same code', async () => {
    await stock(test, home);
    const document = bed();
    const observations = document['observations'] as { item: string }[];
    if (observations[0]) observations[0].item = 'no-such-item';
    const answer = await client.post(home.owner, MODELS, { document });
    expect([answer.statusCode, codeOf(answer)]).toEqual([422, 'evidence-model-invalid']);
    expect(pointersOf(answer)).toContain('#/document/observations/0/item');
  });

  it('are seen by the staff of their tenant only', async () => {
    await stock(test, home);
    const other = await house(data());
    expect((await client.get(other.owner, '/v1/evidence-models')).json()).toEqual({ items: [] });
    expect(codeOf(await client.get(other.owner, `${MODELS}/1`))).toBe('not-found');
    expect(codeOf(await client.get(home.retailerPerson, '/v1/evidence-models'))).toBe('not-allowed');
    expect(codeOf(await client.post(home.analyst, MODELS, { document: bed() }))).toBe('not-allowed');
    expect((await client.get(home.analyst, `${MODELS}/1`)).json()).toMatchObject({ code: 'bed-base', document: bed() });
  });
});
