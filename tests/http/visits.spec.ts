import { randomUUID } from 'node:crypto';
import { afterAll, beforeAll, beforeEach, describe, expect, it } from 'vitest';
import {
  Client,
  codeOf,
  company,
  crewHand,
  hand,
  house,
  keyHand,
  pointersOf,
  resourceApp,
  statusesOf,
  stock,
  visitBody,
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
  await stock(test, home);
});

interface Visit {
  id: string;
  order: { reference: string };
  address: object;
}
const planned = async (over: object = {}): Promise<Visit> =>
  (await client.post(home.administrator, '/v1/visits', visitBody(over))).json<Visit>();

describe('finding a visit', () => {
  it('takes part of the order number, the serial number, the street or the town, and signs of patterns as they are', async () => {
    const order = visitBody()['order'] as object;
    const one = await planned({ order: { ...order, reference: 'PS_100%' } });
    const two = await planned({ order: { ...order, reference: 'QT-200' } });
    const found = async (find: string) => {
      const answer = await client.get(home.analyst, `/v1/visits?find=${encodeURIComponent(find)}`);
      expect(answer.statusCode).toBe(200);
      return answer.json<{ items: Visit[] }>().items.map(({ id }) => id);
    };
    expect(await found('ps_1')).toEqual([one.id]);
    expect(await found('0%')).toEqual([one.id]);
    expect(await found('S%1')).toEqual([]);
    expect(await found('qt-')).toEqual([two.id]);
    expect((await found('dr7k2045')).toSorted()).toEqual([one.id, two.id].toSorted());
    expect((await found('mill hol')).toSorted()).toEqual([one.id, two.id].toSorted());
    expect((await found('larkfield')).toSorted()).toEqual([one.id, two.id].toSorted());
  });

  it('by how far the crew has come', async () => {
    const { id } = await planned();
    const stages = async () => {
      const ids = async (stage: string) =>
        (await client.get(home.analyst, `/v1/visits?stage=${stage}`)).json<{ items: Visit[] }>().items.length;
      return [await ids('planned'), await ids('under%20way'), await ids('inspected')];
    };
    expect(await stages()).toEqual([1, 0, 0]);
    const crew = await crewHand(data(), home.tenant, id);
    const begun = { id: randomUUID(), serial: 'DR7K204518', startedAt: '2026-03-02T08:25:00Z' };
    expect((await client.post(crew, `/v1/visits/${id}/inspections`, begun)).statusCode).toBe(201);
    expect(await stages()).toEqual([0, 1, 0]);
    const gaps = { acceptGaps: true, reason: 'The customer had to leave.' };
    const ended = await client.post(crew, `/v1/inspections/${begun.id}/completion`, gaps, { 'if-match': '"v1"' });
    expect(ended.statusCode).toBe(201);
    expect(await stages()).toEqual([0, 0, 1]);
    const answer = await client.get(home.analyst, '/v1/visits?stage=cancelled');
    expect([answer.statusCode, pointersOf(answer)]).toEqual([400, ['#/stage']]);
  });
});

describe('planning a visit', () => {
  it('keeps everything and gives it back, with the country of the address as its jurisdiction', async () => {
    const body = visitBody();
    const created = await client.post(home.analyst, '/v1/visits', body);
    expect(created.statusCode).toBe(201);
    const { id } = created.json<Visit>();
    expect(created.headers).toMatchObject({ etag: '"v1"', location: `/v1/visits/${id}` });
    expect(created.json()).toMatchObject({
      retailer: { code: 'pellow', name: 'Company pellow' },
      carrier: { code: 'ZZPF' },
      order: body['order'],
      address: body['address'],
      jurisdiction: 'US-OH',
      zone: 'America/New_York',
      windowFrom: '2026-03-02T13:00:00.000Z',
      windowTo: '2026-03-02T17:00:00.000Z',
      custody: body['custody'],
      units: [{ sku: 'OST-DRIFT-Q-US', serial: 'DR7K204518' }],
      version: 1,
    });
    expect(created.json()).not.toHaveProperty('receipt');
    expect((await client.get(home.analyst, `/v1/visits/${id}`)).json()).toEqual(created.json());
  });

  it('says where the door is, to the metre, to analysts only', async () => {
    const { id } = await planned();
    expect((await client.get(home.analyst, `/v1/visits/${id}`)).json<Visit>().address).toHaveProperty('latitude');
    for (const who of [home.administrator, home.retailerPerson, await crewHand(data(), home.tenant, id)]) {
      const { address } = (await client.get(who, `/v1/visits/${id}`)).json<Visit>();
      expect(address).toHaveProperty('place');
      expect(address).not.toHaveProperty('latitude');
      expect(address).not.toHaveProperty('longitude');
    }
  });

  it('refuses amounts in another currency than the models are sold in', async () => {
    const order = { ...(visitBody()['order'] as object), currency: 'EUR' };
    const answer = await client.post(home.analyst, '/v1/visits', visitBody({ order }));
    expect([answer.statusCode, codeOf(answer), pointersOf(answer)]).toEqual([
      422,
      'amount-currency-differs',
      ['#/order/currency'],
    ]);
  });

  it('refuses models, serial numbers and companies that are not there, with nothing kept', async () => {
    const post = (over: object) => client.post(home.analyst, '/v1/visits', visitBody(over));
    const unknown = await post({ units: [{ sku: 'NOPE', serial: '1' }] });
    expect([unknown.statusCode, codeOf(unknown), pointersOf(unknown)]).toEqual([
      422,
      'unknown-model',
      ['#/units/0/sku'],
    ]);
    const serials = ['DR7K204518', 'DR7K20451', 'dr7k204519', 'DR7K204518'].map((serial) => ({
      sku: 'OST-DRIFT-Q-US',
      serial,
    }));
    expect(pointersOf(await post({ units: serials }))).toEqual([
      '#/units/1/serial',
      '#/units/2/serial',
      '#/units/3/serial',
    ]);
    expect(pointersOf(await post({ retailer: 'nobody', carrier: 'ZZXX' }))).toEqual(['#/retailer', '#/carrier']);
    expect(pointersOf(await post({ retailer: undefined }))).toEqual(['#/retailer']);
    expect(await data().rows('select 1 from visit')).toEqual([]);
  });

  it('refuses times that cannot be, bad fields and unknown ones', async () => {
    const post = (over: object) => client.post(home.analyst, '/v1/visits', visitBody(over));
    const base = visitBody();
    const late = { ...(base['order'] as object), placedOn: '2026-03-03' };
    const half = { ...(base['address'] as object), longitude: undefined };
    expect(pointersOf(await post({ windowTo: base['windowFrom'], order: late, address: half }))).toEqual([
      '#/windowTo',
      '#/order/placedOn',
      '#/address',
    ]);
    const broken = await post({
      zone: 'Mars/Olympus',
      windowFrom: '2026-03-02 08:00',
      windowTo: '2026-13-02T08:00:00Z',
      jurisdiction: 'usa',
      crewSize: 0,
      units: [],
      colour: 'oak',
      custody: [{ stage: 'lost', party: 'maker', condition: 'clean' }],
      order: { ...(base['order'] as object), priceMinor: -1, taxMinor: 0.5, placedOn: '2026-02-30' },
    });
    expect(broken.statusCode).toBe(400);
    expect(new Set(pointersOf(broken))).toEqual(
      new Set([
        '#/zone',
        '#/windowFrom',
        '#/windowTo',
        '#/jurisdiction',
        '#/crewSize',
        '#/units',
        '#/colour',
        '#/custody/0/stage',
        '#/order/priceMinor',
        '#/order/taxMinor',
        '#/order/placedOn',
      ]),
    );
    expect(pointersOf(await post({ retailer: null }))).toContain('#/retailer');
    const noBody = await client.post(home.analyst, '/v1/visits');
    expect(noBody.statusCode).toBe(400);
  });

  it('refuses a second visit for one order, also when both come at once', async () => {
    const body = visitBody();
    const answers = await Promise.all([1, 2, 3].map(() => client.post(home.analyst, '/v1/visits', body)));
    expect(statusesOf(answers)).toEqual([201, 409, 409]);
    expect(answers.filter((answer) => answer.statusCode === 409).map(codeOf)).toEqual(['visit-exists', 'visit-exists']);
    expect(await data().rows('select 1 from visit_unit')).toHaveLength(1);
  });

  it('is for analysts, administrators, keys with visits:write, and retailers for themselves', async () => {
    await company(data(), home.tenant, 'retailer', 'harrow');
    const write = await keyHand(data(), home, ['visits:write']);
    const read = await keyHand(data(), home, ['visits:read']);
    const bound = await keyHand(data(), home, ['visits:write'], home.retailer);
    expect((await client.post(write, '/v1/visits', visitBody())).statusCode).toBe(201);
    expect(codeOf(await client.post(read, '/v1/visits', visitBody()))).toBe('not-allowed');
    expect(codeOf(await client.post(home.owner, '/v1/visits', visitBody()))).toBe('not-allowed');
    expect((await client.post(bound, '/v1/visits', visitBody({ retailer: undefined }))).json()).toMatchObject({
      retailer: { code: 'pellow' },
    });
    for (const who of [bound, home.retailerPerson]) {
      const foreign = await client.post(who, '/v1/visits', visitBody({ retailer: 'harrow' }));
      expect(pointersOf(foreign)).toEqual(['#/retailer']);
    }
  });
});

describe('the list of visits', () => {
  it('comes newest first, page by page, without repeats', async () => {
    for (const day of ['02', '04', '03']) {
      await planned({ windowFrom: `2026-03-${day}T08:00:00Z`, windowTo: `2026-03-${day}T12:00:00Z` });
    }
    const seen: string[] = [];
    for (let url: string | undefined = '/v1/visits?limit=2'; url !== undefined;) {
      const answer = await client.get(home.analyst, url);
      seen.push(
        ...answer.json<{ items: { windowFrom: string }[] }>().items.map((item) => item.windowFrom.slice(8, 10)),
      );
      url = /<([^>]+)>; rel="next"/.exec(String(answer.headers['link']))?.[1];
    }
    expect(seen).toEqual(['04', '03', '02']);
  });

  it('shows each tenant, retailer and crew its own and nothing else', async () => {
    const own = await planned();
    await company(data(), home.tenant, 'retailer', 'harrow');
    const foreign = await planned({ retailer: 'harrow' });
    const other = await house(data());
    const crew = await crewHand(data(), home.tenant, own.id);
    const idsFor = async (who: Parameters<Client['get']>[0]) =>
      (await client.get(who, '/v1/visits')).json<{ items: Visit[] }>().items.map((item) => item.id);
    expect((await idsFor(home.analyst)).sort()).toEqual([own.id, foreign.id].sort());
    expect(await idsFor(home.retailerPerson)).toEqual([own.id]);
    expect(await idsFor(crew)).toEqual([own.id]);
    expect(await idsFor(other.analyst)).toEqual([]);
    for (const who of [home.retailerPerson, crew, other.analyst]) {
      const answer = await client.get(who, `/v1/visits/${foreign.id}`);
      expect([answer.statusCode, codeOf(answer)]).toEqual([404, 'not-found']);
    }
    expect(codeOf(await client.get(home.analyst, '/v1/visits/not-a-uuid'))).toBe('not-found');
    expect(codeOf(await client.get(home.analyst, `/v1/visits/${randomUUID()}`))).toBe('not-found');
  });
});

describe('the receipt', () => {
  const noted = {
    kind: 'exceptions noted',
    words: 'lower left corner crushed; subject to inspection',
    deliveredAt: '2026-03-02T08:40:00Z',
  };

  it('is noted by the crew on top of the version it has read, words and all', async () => {
    const { id } = await planned();
    const crew = await crewHand(data(), home.tenant, id);
    const url = `/v1/visits/${id}/receipt`;
    expect(codeOf(await client.put(crew, url, noted))).toBe('precondition-required');
    const answer = await client.put(crew, url, noted, '"v1"');
    expect([answer.statusCode, answer.headers['etag']]).toEqual([200, '"v2"']);
    expect(answer.json()).toMatchObject({ receipt: { ...noted, deliveredAt: '2026-03-02T08:40:00.000Z' }, version: 2 });
  });

  it('stays what the crew chose: words that note nothing do not make a clean receipt one with exceptions', async () => {
    const { id } = await planned();
    const clean = { kind: 'clean', words: 'subject to inspection', deliveredAt: noted.deliveredAt };
    const answer = await client.put(home.analyst, `/v1/visits/${id}/receipt`, clean, '"v1"');
    expect(answer.json()).toMatchObject({ receipt: { kind: 'clean', words: 'subject to inspection' } });
  });

  it('is noted once when two phones send it at once, and the other is told', async () => {
    const { id } = await planned();
    const crew = await crewHand(data(), home.tenant, id);
    const clean = { kind: 'clean', deliveredAt: noted.deliveredAt };
    const answers = await Promise.all([
      client.put(crew, `/v1/visits/${id}/receipt`, noted, '"v1"'),
      client.put(crew, `/v1/visits/${id}/receipt`, clean, '"v1"'),
    ]);
    expect(statusesOf(answers)).toEqual([200, 412]);
    const winner = answers.find((answer) => answer.statusCode === 200);
    expect((await client.get(crew, `/v1/visits/${id}`)).json()).toEqual(winner?.json());
  });

  it('needs its words when it notes exceptions, a kind that exists, and a delivery that has happened', async () => {
    const { id } = await planned();
    const put = (payload: object) => client.put(home.analyst, `/v1/visits/${id}/receipt`, payload, '"v1"');
    expect(pointersOf(await put({ ...noted, words: undefined }))).toEqual(['#/words']);
    expect(pointersOf(await put({ ...noted, kind: 'fine' }))).toEqual(['#/kind']);
    expect(pointersOf(await put({ ...noted, deliveredAt: '2026-03-02T09:11:00Z' }))).toEqual(['#/deliveredAt']);
    expect(pointersOf(await put({ ...noted, signature: 'x' }))).toEqual(['#/signature']);
  });

  it('of another visit or tenant is not there, and a retailer does not note it', async () => {
    const { id } = await planned();
    const elsewhere = await crewHand(data(), home.tenant, (await planned()).id);
    const other = await house(data());
    const stranger = await hand(data(), other.tenant, ['crew']);
    for (const who of [elsewhere, other.analyst, stranger]) {
      expect(codeOf(await client.put(who, `/v1/visits/${id}/receipt`, noted, '"v1"'))).toBe('not-found');
    }
    expect(codeOf(await client.put(home.retailerPerson, `/v1/visits/${id}/receipt`, noted, '"v1"'))).toBe(
      'not-allowed',
    );
  });
});
