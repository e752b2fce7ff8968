import { parse } from 'csv-parse/sync';
import { afterAll, beforeAll, beforeEach, describe, expect, it } from 'vitest';
import { InsightModule } from '../../src/insight/insight.module.js';
import { ClaimDesk, claimsApp } from '../support/claims.js';
import { actsOn, decidedBentFrame, recoveryOn } from '../support/recoveries.js';
import { codeOf, house, type Answered, type Hand } from '../support/resources.js';
import { freshDatabase } from '../support/test-database.js';
import { TEST_START } from '../support/test-app.js';

const desk = new ClaimDesk(freshDatabase());
beforeAll(async () => {
  desk.test = await claimsApp(desk.data(), { modules: [InsightModule] });
});
afterAll(() => desk.test.close());
beforeEach(async () => {
  desk.test.clock.moveTo(TEST_START);
  await desk.settle();
});

interface Entry {
  readonly source: string;
  readonly kind: string;
  readonly at: string;
  readonly words: string;
  readonly label?: string;
  readonly claim?: string;
  readonly hash?: string;
  readonly actor: { readonly name: string };
}
async function trail(query = '', who: Hand = desk.home.administrator): Promise<readonly Entry[]> {
  const answered = await desk.client.get(who, `/v1/events${query}`);
  expect(answered.statusCode, answered.body).toBe(200);
  return answered.json<{ items: Entry[] }>().items;
}
const kinds = (entries: readonly Entry[]): string[] => entries.map(({ kind }) => kind);

const NEWCOMER = {
  name: '=cmd("Ilse")',
  email: 'ilse@example.test',
  password: 'seven grey geese fly',
  roles: ['crew'],
};
/** A person who is added, made an analyst, shut out and let in, and given a password. @returns the id */
async function handledPerson(): Promise<string> {
  const { client, home } = desk;
  const added = await client.post(home.administrator, '/v1/people', NEWCOMER);
  expect(added.statusCode, added.body).toBe(201);
  const url = `/v1/people/${added.json<{ id: string }>().id}`;
  const send = (method: 'PATCH' | 'PUT' | 'DELETE', at: string, payload?: object): Promise<Answered> =>
    client.send(home.administrator, { method, url: at, ...(payload === undefined ? {} : { payload }) });
  await send('PATCH', url, { roles: ['analyst'] });
  await client.post(home.administrator, `${url}/disablement`, {});
  await client.post(home.administrator, `${url}/disablement`, {});
  await send('DELETE', `${url}/disablement`);
  expect((await send('PUT', `${url}/password`, { password: 'eight grey geese fly' })).statusCode).toBe(204);
  return added.json<{ id: string }>().id;
}

describe('the trail', () => {
  it('tells who did what to people and keys, once each, to administrators only', async () => {
    await handledPerson();
    const key = await desk.client.post(desk.home.administrator, '/v1/api-keys', {
      name: 'till',
      scopes: ['claims:read'],
    });
    const { id, secret } = key.json<{ id: string; secret: string }>();
    for (let times = 0; times < 2; times += 1)
      await desk.client.send(desk.home.administrator, { method: 'DELETE', url: `/v1/api-keys/${id}` });
    const told = await trail('?source=people%20and%20keys');
    expect(kinds(told).toSorted()).toEqual([
      'key-ended',
      'key-made',
      'password-set',
      'person-added',
      'person-changed',
      'person-let-in',
      'person-shut-out',
    ]);
    expect(told.find(({ kind }) => kind === 'person-changed')?.words).toBe('=cmd("Ilse") · crew → analyst');
    expect(JSON.stringify(told)).not.toMatch(new RegExp(`geese|argon2|${secret}`));
    expect(await trail('?source=people%20and%20keys', desk.home.analyst)).toEqual([]);
    expect(kinds(await trail('', desk.home.analyst))).not.toContain('person-added');
  });

  it('gives a person a new password, not oneself, and ends their sessions', async () => {
    const id = await handledPerson();
    const signIn = (password: string): Promise<Answered> =>
      desk.test.app.inject({ method: 'POST', url: '/v1/sessions', payload: { email: NEWCOMER.email, password } });
    expect((await signIn(NEWCOMER.password)).statusCode).toBe(401);
    expect((await signIn('eight grey geese fly')).statusCode).toBe(201);
    const put = (who: Hand, whose: string, password: string): Promise<Answered> =>
      desk.client.send(who, { method: 'PUT', url: `/v1/people/${whose}/password`, payload: { password } });
    expect(codeOf(await put(desk.home.administrator, id, 'short'))).toBe('password-too-weak');
    expect(codeOf(await put(desk.home.analyst, id, 'nine grey geese fly by'))).toBe('not-allowed');
    expect(codeOf(await put((await house(desk.data())).administrator, id, 'nine grey geese fly by'))).toBe('not-found');
    const me = (await desk.client.get(desk.home.administrator, '/v1/me')).json<{ id: string }>().id;
    expect(codeOf(await put(desk.home.administrator, me, 'nine grey geese fly by'))).toBe('not-allowed');
    const open = await desk.data().rows('select 1 from session where person_id = $1 and ended_at is null', [id]);
    expect(open).toHaveLength(1);
  });

  it('of claims comes the newest first, page by page, and is narrowed by person, kind, claim and time', async () => {
    const first = await desk.proposed();
    desk.test.clock.moveTo(TEST_START.add({ minutes: 10 }));
    const visitId = await desk.delivered();
    const second = await desk.proposed({ visitId }, desk.home.retailerPerson);
    const all = await trail('?source=claims');
    expect(all.map(({ at }) => at)).toEqual(
      all
        .map(({ at }) => at)
        .toSorted()
        .toReversed(),
    );
    expect(new Set(all.map(({ claim }) => claim))).toEqual(new Set([first.id, second.id]));
    const paged: Entry[] = [];
    for (let url: string | undefined = '/v1/events?limit=3&source=claims'; url !== undefined;) {
      const answered: Answered = await desk.client.get(desk.home.administrator, url);
      paged.push(...answered.json<{ items: Entry[] }>().items);
      url = /<([^>]+)>; rel="next"/.exec(String(answered.headers['link']))?.[1];
    }
    expect(paged).toEqual(all);
    const number = first.number ?? '';
    expect(
      new Set((await trail(`?claim=${number.slice(0, 3)}%20${number.slice(3)}`)).map(({ claim }) => claim)),
    ).toEqual(new Set([first.id]));
    expect(kinds(await trail(`?claim=${second.id}&kind=claim-filed`))).toEqual(['claim-filed']);
    const late = TEST_START.add({ minutes: 5 }).toString();
    expect(new Set((await trail(`?source=claims&from=${late}`)).map(({ claim }) => claim))).toEqual(
      new Set([second.id]),
    );
    expect(new Set((await trail(`?source=claims&to=${late}`)).map(({ claim }) => claim))).toEqual(new Set([first.id]));
    expect((await trail('?who=as%20noted')).every(({ actor }) => actor.name === 'As Noted')).toBe(true);
    expect(await trail('?who=%25')).toEqual([]);
    expect(codeOf(await desk.client.get(desk.home.analyst, '/v1/events?claim=123'))).toBe('invalid-request');
  });

  it('goes into a file that holds everything, and no formula', async () => {
    await desk.proposed();
    await handledPerson();
    const file = await desk.client.get(desk.home.administrator, '/v1/events/export?format=csv');
    expect(file.headers['content-disposition']).toMatch(/^attachment; filename="trail-2026-03-02\.csv"$/);
    // csv-parse reads RFC 4180 by itself.
    const rows = parse<Record<string, string>>(file.body, { columns: true });
    const shown = await trail();
    expect(rows.map(({ what }) => what)).toEqual(kinds(shown));
    expect(rows.filter((row) => Object.values(row).some((text) => /^[=+\-@]/.test(text)))).toEqual([]);
    expect(rows.find(({ what }) => what === 'person-added')?.['which']).toBe(`'${NEWCOMER.name}`);
    const json = await desk.client.get(desk.home.administrator, '/v1/events/export?format=json');
    expect(json.json()).toEqual(shown);
    const nothing = await desk.client.get(desk.home.administrator, '/v1/events/export?format=json&kind=never');
    expect(nothing.json()).toEqual([]);
  });

  it('is shown to nobody else', async () => {
    await desk.proposed();
    for (const who of [desk.home.retailerPerson, desk.crew])
      expect(codeOf(await desk.client.get(who, '/v1/events'))).toBe('not-allowed');
    expect(await trail('?source=claims', desk.home.owner)).toEqual([]);
    expect(codeOf(await desk.client.get(desk.home.owner, '/v1/events/chains'))).toBe('not-allowed');
    const stranger = await house(desk.data());
    expect(await trail('', stranger.administrator)).toEqual([]);
    expect((await desk.client.get(stranger.administrator, '/v1/events/chains')).json()).toEqual({
      claims: 0,
      events: 0,
      faults: [],
    });
  });
});

describe('the chains', () => {
  it('are found whole, and a history that somebody changed is named', async () => {
    const claim = await desk.proposed();
    const check = (): Promise<Answered> => desk.client.get(desk.home.analyst, '/v1/events/chains');
    const events = (await desk.events(claim.id)).length;
    expect((await check()).json()).toEqual({ claims: 1, events, faults: [] });
    await desk.data().rows('alter table claim_event disable trigger claim_event_fixed');
    try {
      await desk.data().rows(`update claim_event set body = '{"ground":"damage"}' where n = 2`);
    } finally {
      await desk.data().rows('alter table claim_event enable trigger claim_event_fixed');
    }
    expect((await check()).json()).toMatchObject({
      faults: [{ claim: claim.id, number: claim.number, n: 2, detail: expect.stringMatching(/altered/) }],
    });
  });

  it('of recoveries are walked with their claim', async () => {
    const claim = await decidedBentFrame(desk);
    const { id } = await recoveryOn(desk, claim, 'carrier');
    await actsOn(desk, id, ['sending', { words: 'By e-mail.' }]);
    const check = (): Promise<Answered> => desk.client.get(desk.home.analyst, '/v1/events/chains');
    const [kept] = await desk
      .data()
      .rows<{ count: number }>(
        'select (select count(*) from claim_event)::int + (select count(*) from recovery_event)::int as count',
      );
    expect((await check()).json()).toEqual({ claims: 1, events: kept?.count, faults: [] });
    await desk.data().rows('alter table recovery_event disable trigger recovery_event_fixed');
    try {
      const sql = `update recovery_event set body = '{"words": "By post."}' where recovery_id = $1 and n = 2`;
      await desk.data().rows(sql, [id]);
    } finally {
      await desk.data().rows('alter table recovery_event enable trigger recovery_event_fixed');
    }
    const detail = expect.stringMatching(/^in the recovery from .+, event 2 was altered after it was written$/);
    expect((await check()).json()).toMatchObject({ faults: [{ claim, n: 2, detail }] });
  });
});
