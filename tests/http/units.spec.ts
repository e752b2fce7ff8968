import { afterAll, beforeAll, beforeEach, describe, expect, it } from 'vitest';
import {
  Client,
  codeOf,
  company,
  crewHand,
  hand,
  house,
  keyHand,
  resourceApp,
  stock,
  visitBody,
  type Hand,
  type House,
} from '../support/resources.js';
import type { TestApp } from '../support/test-app.js';
import { freshDatabase } from '../support/test-database.js';

const data = freshDatabase();
let test: TestApp;
let home: House;
const client = new Client(() => test);

interface UnitView {
  readonly id: string;
  readonly serial: string;
  readonly visitId: string;
  readonly deliveredAt?: string;
}

beforeAll(async () => {
  test = await resourceApp(data().url);
});
afterAll(() => test.app.close());
beforeEach(async () => {
  home = await house(data());
  await stock(test, home);
});

async function planned(serial: string, day: string, over: object = {}): Promise<string> {
  const body = visitBody({
    windowFrom: `${day}T08:00:00-05:00`,
    windowTo: `${day}T12:00:00-05:00`,
    units: [{ sku: 'OST-DRIFT-Q-US', serial }],
    ...over,
  });
  return (await client.post(home.administrator, '/v1/visits', body)).json<{ id: string }>().id;
}
const listed = async (who: Hand, query = ''): Promise<{ items: UnitView[]; next?: string }> =>
  (await client.get(who, `/v1/units${query}`)).json();
const serialsOf = ({ items }: { readonly items: readonly UnitView[] }): string[] => items.map(({ serial }) => serial);

describe('units by serial number', () => {
  it('come with the visit that brings them, the newest first, a page at a time', async () => {
    const first = await planned('DR7K204518', '2026-03-02');
    await planned('DR7K204519', '2026-03-03');
    await planned('DR7K204518', '2026-03-04');
    const all = await listed(home.analyst);
    expect(serialsOf(all)).toEqual(['DR7K204518', 'DR7K204519', 'DR7K204518']);
    expect(all.items[2]).toMatchObject({
      visitId: first,
      sku: 'OST-DRIFT-Q-US',
      retailer: 'Company pellow',
      windowFrom: '2026-03-02T13:00:00.000Z',
    });
    expect(all.items[2]).not.toHaveProperty('deliveredAt');
    const page = await listed(home.analyst, '?limit=2');
    expect(serialsOf(page)).toEqual(['DR7K204518', 'DR7K204519']);
    const rest = await listed(home.analyst, `?limit=2&cursor=${encodeURIComponent(page.next ?? '')}`);
    expect([serialsOf(rest), rest.next]).toEqual([['DR7K204518'], undefined]);
  });

  it('are found by a part of their number, in whichever letters, by their order and by their model', async () => {
    await planned('DR7K204518', '2026-03-02');
    await planned('DR7K204519', '2026-03-03', {
      order: { ...(visitBody()['order'] as object), reference: 'PS-UNDER_SCORE' },
    });
    expect(serialsOf(await listed(home.analyst, '?find=k2045'))).toHaveLength(2);
    expect(serialsOf(await listed(home.analyst, '?find=%20204519%20'))).toEqual(['DR7K204519']);
    expect(serialsOf(await listed(home.analyst, '?find=under_score'))).toEqual(['DR7K204519']);
    // Signs of patterns are letters like others.
    expect(serialsOf(await listed(home.analyst, '?find=dr7_204518'))).toEqual([]);
    expect(serialsOf(await listed(home.analyst, '?find=%25'))).toEqual([]);
    expect(serialsOf(await listed(home.analyst, '?sku=OST-DRIFT-Q-US'))).toHaveLength(2);
    expect(serialsOf(await listed(home.analyst, '?sku=OST'))).toEqual([]);
  });

  it('show a retailer its own, a crew those of its visit, and another house nothing', async () => {
    const visit = await planned('DR7K204518', '2026-03-02');
    const other = await company(data(), home.tenant, 'retailer', 'other');
    const stranger = await hand(data(), home.tenant, ['retailer'], other);
    const abroad = await house(data());
    await planned('DR7K204519', '2026-03-03', { retailer: 'other' });
    expect(serialsOf(await listed(home.retailerPerson))).toEqual(['DR7K204518']);
    expect(serialsOf(await listed(stranger))).toEqual(['DR7K204519']);
    expect(serialsOf(await listed(await crewHand(data(), home.tenant, visit)))).toEqual(['DR7K204518']);
    expect(serialsOf(await listed(abroad.analyst))).toEqual([]);
  });

  it('refuse a cursor that is none, fields that do not exist, and keys without the right', async () => {
    const bad = await client.get(home.analyst, '/v1/units?cursor=nonsense');
    expect([bad.statusCode, codeOf(bad)]).toEqual([400, 'cursor-invalid']);
    expect((await client.get(home.analyst, '/v1/units?colour=red')).statusCode).toBe(400);
    const key = await keyHand(data(), home, ['claims:read']);
    expect((await client.get(key, '/v1/units')).statusCode).toBe(403);
    const reader = await keyHand(data(), home, ['visits:read']);
    expect((await client.get(reader, '/v1/units')).statusCode).toBe(200);
  });
});
