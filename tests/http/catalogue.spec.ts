import { afterAll, beforeAll, beforeEach, describe, expect, it } from 'vitest';
import {
  Client,
  codeOf,
  house,
  keyHand,
  pointersOf,
  resourceApp,
  sampleModel,
  statusesOf,
  type House,
} from '../support/resources.js';
import type { TestApp } from '../support/test-app.js';
import { freshDatabase } from '../support/test-database.js';

const data = freshDatabase();
let test: TestApp;
let home: House;
const client = new Client(() => test);

beforeAll(async () => {
  test = await resourceApp(data().url);
});
afterAll(() => test.app.close());
beforeEach(async () => {
  home = await house(data());
});

describe('the catalogue', () => {
  it('takes a model and gives it back as it was, with its version', async () => {
    const created = await client.post(home.administrator, '/v1/models', sampleModel());
    expect(created.statusCode).toBe(201);
    expect(created.headers).toMatchObject({ etag: '"v1"', location: '/v1/models/OST-DRIFT-Q-US' });
    const read = await client.get(home.analyst, '/v1/models/OST-DRIFT-Q-US');
    expect(read.statusCode).toBe(200);
    expect(read.headers['etag']).toBe('"v1"');
    expect(read.json()).toEqual(sampleModel());
    expect(created.json()).toEqual(sampleModel());
  });

  it('lists models in order of their codes, page by page', async () => {
    for (const sku of ['C', 'A', 'B']) await client.post(home.administrator, '/v1/models', sampleModel({ sku }));
    const first = await client.get(home.analyst, '/v1/models?limit=2');
    expect(first.json<{ items: { sku: string }[] }>().items.map((item) => item.sku)).toEqual(['A', 'B']);
    const next = /<([^>]+)>; rel="next"/.exec(String(first.headers['link']))?.[1] ?? '';
    const second = await client.get(home.analyst, next);
    expect(second.json()).toMatchObject({ items: [{ sku: 'C', version: 1, currency: 'USD' }] });
    expect(second.headers['link']).not.toContain('rel="next"');
    expect(codeOf(await client.get(home.analyst, '/v1/models?cursor=abc'))).toBe('cursor-invalid');
    expect(pointersOf(await client.get(home.analyst, '/v1/models?limit=0'))).toEqual(['#/limit']);
  });

  it('shows a tenant neither the models nor the codes of another', async () => {
    await client.post(home.administrator, '/v1/models', sampleModel());
    const other = await house(data());
    expect((await client.get(other.analyst, '/v1/models')).json()).toEqual({ items: [] });
    expect(codeOf(await client.get(other.analyst, '/v1/models/OST-DRIFT-Q-US'))).toBe('not-found');
    const put = await client.put(other.administrator, '/v1/models/OST-DRIFT-Q-US', sampleModel(), '"v1"');
    expect(codeOf(put)).toBe('not-found');
    expect((await client.post(other.administrator, '/v1/models', sampleModel())).statusCode).toBe(201);
  });

  it('refuses a second model with the same code', async () => {
    await client.post(home.administrator, '/v1/models', sampleModel());
    const again = await client.post(home.administrator, '/v1/models', sampleModel());
    expect([again.statusCode, codeOf(again)]).toEqual([409, 'model-exists']);
  });

  it('answers a repeated request with the first result and creates nothing twice', async () => {
    const key = { 'idempotency-key': '"one-model"' };
    const first = await client.post(home.administrator, '/v1/models', sampleModel(), key);
    const again = await client.post(home.administrator, '/v1/models', sampleModel(), key);
    expect([again.statusCode, again.json(), again.headers['etag']]).toEqual([201, first.json(), '"v1"']);
    expect(await data().rows('select 1 from model')).toHaveLength(1);
    const without = await client.send(home.administrator, {
      method: 'POST',
      url: '/v1/models',
      payload: sampleModel(),
    });
    expect([without.statusCode, codeOf(without)]).toEqual([400, 'idempotency-key-missing']);
  });

  it('replaces a model only on top of the version that was read', async () => {
    await client.post(home.administrator, '/v1/models', sampleModel());
    const url = '/v1/models/OST-DRIFT-Q-US';
    const changed = sampleModel({ title: 'Changed', parts: sampleModel().parts.slice(0, 2), warranty: [] });
    expect(codeOf(await client.put(home.administrator, url, changed))).toBe('precondition-required');
    const done = await client.put(home.administrator, url, changed, '"v1"');
    expect([done.statusCode, done.headers['etag']]).toEqual([200, '"v2"']);
    expect((await client.get(home.analyst, url)).json()).toEqual(changed);
    const stale = await client.put(home.administrator, url, sampleModel(), '"v1"');
    expect([stale.statusCode, codeOf(stale)]).toEqual([412, 'version-changed']);
    const renamed = await client.put(home.administrator, url, sampleModel({ sku: 'OTHER' }), '"v2"');
    expect(pointersOf(renamed)).toEqual(['#/sku']);
    const converted = await client.put(home.administrator, url, sampleModel({ currency: 'EUR' }), '"v2"');
    expect(pointersOf(converted)).toEqual(['#/currency']);
  });

  it('lets one of two replacements at once through, whole, and refuses the other', async () => {
    await client.post(home.administrator, '/v1/models', sampleModel());
    const url = '/v1/models/OST-DRIFT-Q-US';
    const parts = sampleModel().parts.slice(0, 1);
    const answers = await Promise.all(
      ['first', 'second', 'third'].map((title) =>
        client.put(home.administrator, url, sampleModel({ title, parts }), '"v1"'),
      ),
    );
    expect(statusesOf(answers)).toEqual([200, 412, 412]);
    const winner = answers.find((answer) => answer.statusCode === 200);
    expect((await client.get(home.analyst, url)).json()).toEqual(winner?.json());
  });

  it('says everything that is wrong with a model at once, and keeps nothing of it', async () => {
    const bad = {
      ...sampleModel({ currency: 'XXX', serialPattern: '^(a+)+$' }),
      parts: sampleModel().parts.map((part) => ({ ...part, parent: 'DR-999' })),
    };
    const answer = await client.post(home.administrator, '/v1/models', bad);
    expect(answer.statusCode).toBe(400);
    expect(pointersOf(answer)).toEqual(
      expect.arrayContaining(['#/currency', '#/serialPattern', '#/parts/0/parent', '#/parts/1/parent']),
    );
    expect(await data().rows('select 1 from model')).toEqual([]);
  });

  it('refuses unknown fields, wrong types and broken JSON with a pointer to each', async () => {
    const answer = await client.post(home.administrator, '/v1/models', {
      ...sampleModel(),
      colour: 'oak',
      grossGrams: '74500',
      unitCostMinor: 1.5,
      parts: [{ ...sampleModel().parts[0], price: 3 }],
      title: 'a\u0000b',
    });
    expect([answer.statusCode, codeOf(answer)]).toEqual([400, 'invalid-request']);
    expect(new Set(pointersOf(answer))).toEqual(
      new Set(['#/colour', '#/grossGrams', '#/unitCostMinor', '#/parts/0/price', '#/title']),
    );
    const broken = await client.send(home.administrator, {
      method: 'POST',
      url: '/v1/models',
      payload: '{"sku": ',
      headers: { 'content-type': 'application/json', 'idempotency-key': '"broken"' },
    });
    expect([broken.statusCode, codeOf(broken)]).toEqual([400, 'malformed-json']);
  });

  it.each([
    ['nested a hundred thousand levels deep', `{"sku": ${'['.repeat(100_000)}${']'.repeat(100_000)}}`, '#'],
    ['with half a character', '{"sku": "\\ud800"}', '#/sku'],
    ['with a number that is none', '{"netGrams": 1e999}', '#/netGrams'],
  ])('refuses a body %s', async (_name, payload, pointer) => {
    const headers = { 'content-type': 'application/json', 'idempotency-key': '"odd"', 'if-match': '"v1"' };
    for (const [method, url] of [
      ['POST', '/v1/models'],
      ['PUT', '/v1/models/A'],
    ] as const) {
      const answer = await client.send(home.administrator, { method, url, payload, headers });
      expect([answer.statusCode, codeOf(answer), pointersOf(answer)]).toEqual([400, 'invalid-request', [pointer]]);
    }
  });

  it('has nothing at an address with a NUL character, whatever the route does with its parts', async () => {
    for (const url of ['/v1/models/%00', '/v1/models?cursor=%00', '/v1/policies/a%00/versions/1']) {
      const answer = await client.get(home.analyst, url);
      expect([answer.statusCode, codeOf(answer)]).toEqual([404, 'not-found']);
    }
    expect(codeOf(await client.get(home.analyst, '/v1/models/%ff'))).toBe('not-found');
  });

  it('is read by everybody, written by administrators and by keys that were given it', async () => {
    for (const who of [home.analyst, home.owner, home.retailerPerson]) {
      expect((await client.get(who, '/v1/models')).statusCode).toBe(200);
      expect(codeOf(await client.post(who, '/v1/models', sampleModel()))).toBe('not-allowed');
    }
    expect(codeOf(await client.send(undefined, { url: '/v1/models' }))).toBe('sign-in-required');
    const reader = await keyHand(data(), home, ['catalogue:read']);
    const writer = await keyHand(data(), home, ['catalogue:write']);
    expect((await client.get(reader, '/v1/models')).statusCode).toBe(200);
    expect(codeOf(await client.post(reader, '/v1/models', sampleModel()))).toBe('not-allowed');
    expect((await client.post(writer, '/v1/models', sampleModel())).statusCode).toBe(201);
  });
});
