import { afterAll, beforeAll, beforeEach, describe, expect, it } from 'vitest';
import { Client, codeOf, house, resourceApp, stock, visitBody, type House } from '../support/resources.js';
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
  await stock(test, home);
});

describe.each(['retailers', 'carriers'])('the %s of a house', (kind) => {
  const company = { code: 'NEW-ONE', name: 'New One & Daughters' };

  it('are added by administrators, listed for the desk, and seen by no other house', async () => {
    const created = await client.post(home.administrator, `/v1/${kind}`, company);
    expect(created.statusCode).toBe(201);
    expect(created.json()).toMatchObject(company);
    const list = await client.get(home.analyst, `/v1/${kind}`);
    expect(list.json<{ items: object[] }>().items).toContainEqual(created.json());
    const other = await house(data());
    const theirs = await client.get(other.analyst, `/v1/${kind}`);
    expect(theirs.json<{ items: object[] }>().items).not.toContainEqual(created.json());
    expect((await client.post(other.administrator, `/v1/${kind}`, company)).statusCode).toBe(201);
  });

  it('have codes of their own', async () => {
    await client.post(home.administrator, `/v1/${kind}`, company);
    const again = await client.post(home.administrator, `/v1/${kind}`, { ...company, name: 'Another' });
    expect([again.statusCode, codeOf(again)]).toEqual([409, 'company-exists']);
  });

  it('are not added by others, nor with mistakes', async () => {
    expect((await client.post(home.analyst, `/v1/${kind}`, company)).statusCode).toBe(403);
    expect((await client.post(home.administrator, `/v1/${kind}`, { code: 'a b', name: '' })).statusCode).toBe(400);
    expect((await client.post(home.administrator, `/v1/${kind}`, { ...company, owner: 'x' })).statusCode).toBe(400);
  });
});

describe('a company that was added', () => {
  it('can be named by a visit', async () => {
    await client.post(home.administrator, '/v1/carriers', { code: 'ZZNEW', name: 'New Haulage' });
    const planned = await client.post(home.analyst, '/v1/visits', visitBody({ carrier: 'ZZNEW' }));
    expect(planned.json()).toMatchObject({ carrier: { code: 'ZZNEW', name: 'New Haulage' } });
  });
});
