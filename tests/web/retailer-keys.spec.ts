import { randomUUID } from 'node:crypto';
import { afterAll, beforeAll, beforeEach, describe, expect, it } from 'vitest';
import { Database } from '../../src/platform/db/database.js';
import { company, hand, type Hand } from '../support/resources.js';
import { WebDesk } from './web-desk.js';

let desk: WebDesk;
let shop: Hand;

beforeAll(async () => {
  desk = await WebDesk.open();
});
afterAll(() => desk.close());
beforeEach(async () => {
  await desk.settle();
  shop = desk.home.retailerPerson;
});

/** Somebody of another retailer of the same house. */
async function rival(): Promise<Hand> {
  const id = await company(desk.data(), desk.home.tenant, 'retailer', 'rival');
  return hand(desk.data(), desk.home.tenant, ['retailer'], id);
}

describe('keys', () => {
  const secretIn = (body: string): string => /ank_[A-Za-z0-9_-]{20,}/.exec(body)?.[0] ?? '';
  const make = (who: Hand, fields: Readonly<Record<string, string>>) => desk.form(who, '/claims/keys', fields);
  const ownKeys = () =>
    desk
      .data()
      .rows<{ id: string; name: string }>('select id, name from api_key where tenant_id = $1', [desk.home.tenant]);
  const houseKey = (who: Hand) =>
    desk.client.post(who, '/v1/api-keys', { name: 'of the house', scopes: ['claims:read'] });
  const list = (secret: string) =>
    desk.test.app.inject({ url: '/v1/claims', headers: { authorization: `Bearer ${secret}` } });

  it('are bound to the company, shown once, and replaced without a gap', async () => {
    const claim = await desk.filed();
    const other = await rival();
    const visit = await desk.delivered(undefined, { retailer: 'rival' });
    await desk.filed({ visitId: visit }, desk.home.analyst);
    const fields = { name: 'shop till', scopes: 'claims:read' };
    const first = secretIn((await make(shop, { ...fields, retailer: randomUUID() })).body);
    const seen = await list(first);
    expect(seen.json<{ items: { id: string }[] }>().items.map(({ id }) => id)).toEqual([claim.id]);
    const page = (await desk.page(shop, '/claims/keys')).body;
    expect([page.includes('shop till'), page.includes(first)]).toEqual([true, false]);
    expect((await desk.page(other, '/claims/keys')).body).not.toContain('shop till');
    const replace = /\?replace=([0-9a-f-]+)/.exec(page)?.[1] ?? '';
    expect((await desk.page(shop, `/claims/keys?replace=${replace}`)).body).toMatch(/value="claims:read" checked/);
    const made = (await make(shop, { ...fields, replaces: replace })).body;
    expect(made).toContain('still works');
    expect([(await list(first)).statusCode, (await list(secretIn(made))).statusCode]).toEqual([200, 200]);
    expect((await desk.form(other, `/claims/keys/${replace}/end`, {})).statusCode).toBe(404);
    expect((await list(first)).statusCode).toBe(200);
    expect((await desk.form(shop, `/claims/keys/${replace}/end`, {})).statusCode).toBe(303);
    expect([(await list(first)).statusCode, (await list(secretIn(made))).statusCode]).toEqual([401, 200]);
  });

  it('never go beyond the retailer, and the keys of the house are neither seen nor ended', async () => {
    await houseKey(desk.home.administrator);
    const [house] = await ownKeys();
    expect((await desk.page(shop, '/claims/keys')).body).not.toContain('of the house');
    expect((await desk.form(shop, `/claims/keys/${house?.id ?? ''}/end`, {})).statusCode).toBe(404);
    expect((await make(shop, { name: 'greedy', scopes: 'insight:read' })).statusCode).toBe(400);
    expect((await make(shop, { name: 'late', scopes: 'claims:read', endsOn: '2026-03-01' })).body).toContain(
      'This day is over',
    );
    expect((await houseKey(shop)).statusCode).toBe(403);
    for (const who of [desk.home.administrator, desk.home.analyst])
      expect((await make(who, { name: 'x', scopes: 'claims:read' })).statusCode).toBe(403);
    expect((await ownKeys()).map(({ name }) => name)).toEqual(['of the house']);
  });

  it('of others are out of reach of a retailer’s session in the database as well', async () => {
    await houseKey(desk.home.administrator);
    await make(shop, { name: 'shop till', scopes: 'claims:read' });
    const { tenant, retailer } = desk.home;
    const db = desk.test.app.get(Database);
    const seen = await db.inTenant({ tenant, retailer }, (tx) => tx.query<object[]>('select name from api_key'));
    expect(seen).toEqual([{ name: 'shop till' }]);
    const taken = db.inTenant({ tenant, retailer }, (tx) => tx.query('update api_key set retailer_id = null'));
    await expect(taken).rejects.toThrow('row-level security');
  });

  it('end at the end of their last day', async () => {
    const secret = secretIn((await make(shop, { name: 'x', scopes: 'claims:read', endsOn: '2026-03-02' })).body);
    expect((await list(secret)).statusCode).toBe(200);
    desk.test.clock.moveTo(Temporal.Instant.from('2026-03-03T00:00:00Z'));
    expect((await list(secret)).statusCode).toBe(401);
    desk.test.clock.moveTo(Temporal.Instant.from('2026-03-02T09:00:00Z'));
  });
});
