import { randomUUID } from 'node:crypto';
import { afterAll, beforeAll, beforeEach, describe, expect, it } from 'vitest';
import type { AnswerValue } from '../../src/inspections/inspections.contract.js';
import { actorScope, inspectionsOf } from '../support/inspections.js';
import {
  Client,
  codeOf,
  crewHand,
  house,
  keyHand,
  pointersOf,
  resourceApp,
  statusesOf,
  stock,
  visitBody,
  type Answered,
  type Hand,
  type House,
} from '../support/resources.js';
import type { TestApp } from '../support/test-app.js';
import { freshDatabase } from '../support/test-database.js';

const data = freshDatabase();
let test: TestApp;
let home: House;
let visit: string;
let crew: Hand;
const client = new Client(() => test);

beforeAll(async () => {
  test = await resourceApp(data().url);
});
afterAll(() => test.app.close());
beforeEach(async () => {
  home = await house(data());
  await stock(test, home);
  visit = await planned();
  crew = await crewHand(data(), home.tenant, visit);
});

const planned = async (): Promise<string> =>
  (await client.post(home.analyst, '/v1/visits', visitBody())).json<{ id: string }>().id;

const startBody = (over: object = {}) => ({
  id: randomUUID(),
  serial: 'DR7K204518',
  startedAt: '2026-03-02T08:30:00Z',
  ...over,
});
const start = (over: object = {}, who = crew): Promise<Answered> =>
  client.post(who, `/v1/visits/${visit}/inspections`, startBody(over));
const started = async (): Promise<string> => `/v1/inspections/${(await start()).json<{ id: string }>().id}`;

const answer = (item: string, value: AnswerValue, minute = 31, note?: string) => ({
  item,
  value,
  answeredAt: `2026-03-02T08:${String(minute).padStart(2, '0')}:00Z`,
  ...(note === undefined ? {} : { note }),
});
const send = (at: string, ...answers: object[]): Promise<Answered> => client.post(crew, `${at}/answers`, { answers });

interface View {
  id: string;
  asked: { id: string; section: string }[];
  answers: { item: string; value: unknown; note?: string }[];
  owedPhotos: { item: string; demand: string; says?: object }[];
  stops: { stop: string; acknowledgedAt?: string }[];
  state: string;
  version: number;
}
const view = async (at: string, who = crew): Promise<View> => (await client.get(who, at)).json<View>();
const currentValue = async (at: string, item: string): Promise<unknown> =>
  (await view(at)).answers.find((each) => each.item === item)?.value;

describe('beginning an inspection', () => {
  it('takes the id made on the phone and answers with the newest published checklist', async () => {
    const id = randomUUID();
    const answered = await start({ id: id.toUpperCase(), crewSize: 1, foundAt: 'assembly' });
    expect(answered.statusCode).toBe(201);
    expect(answered.headers).toMatchObject({ etag: '"v1"', location: `/v1/inspections/${id}` });
    expect(answered.json()).toMatchObject({
      id,
      visit,
      state: 'open',
      crewSize: 1,
      foundAt: 'assembly',
      unit: { serial: 'DR7K204518' },
      checklist: { code: 'bed-base', version: 1 },
      answers: [],
      stops: [],
    });
    expect(answered.json<View>().asked[0]).toMatchObject({ id: 'crew-size', section: 'before-lifting' });
    expect((await client.get(home.analyst, `/v1/inspections/${id}`)).json()).toEqual(answered.json());
    expect((await start({ serial: ' dr7k204518 ' })).statusCode).toBe(201);
  });

  it('is the same inspection when the phone sends it again, whatever key it uses', async () => {
    const body = startBody();
    const url = `/v1/visits/${visit}/inspections`;
    const answers = await Promise.all([1, 2, 3, 4].map(() => client.post(crew, url, body)));
    expect(answers.map((each) => each.statusCode)).toEqual([201, 201, 201, 201]);
    for (const each of answers) expect(each.json()).toEqual(answers[0]?.json());
    expect(await data().rows('select 1 from inspection')).toHaveLength(1);
  });

  it('refuses an id that another visit or another tenant has used', async () => {
    const { id } = (await start()).json<View>();
    const elsewhere = await planned();
    const body = startBody({ id });
    const again = await client.post(home.analyst, `/v1/visits/${elsewhere}/inspections`, body);
    expect([again.statusCode, codeOf(again)]).toEqual([409, 'inspection-id-taken']);
    const other = await house(data());
    await stock(test, other);
    const theirs = (await client.post(other.analyst, '/v1/visits', visitBody())).json<{ id: string }>().id;
    expect(codeOf(await client.post(other.analyst, `/v1/visits/${theirs}/inspections`, body))).toBe(
      'inspection-id-taken',
    );
  });

  it('refuses a serial number that is not part of the visit, and says which are', async () => {
    const answered = await start({ serial: 'DR7K999999' });
    expect([answered.statusCode, codeOf(answered)]).toEqual([422, 'serial-not-in-visit']);
    expect(answered.json<{ detail: string }>().detail).toContain('DR7K204518');
  });

  it('refuses bad fields, a start in the future, and a model without a published checklist', async () => {
    const bad = await start({ id: 'one', startedAt: 'yesterday', crewSize: '2', foundAt: 'door', checklist: 'x' });
    expect(new Set(pointersOf(bad))).toEqual(
      new Set(['#/id', '#/startedAt', '#/crewSize', '#/foundAt', '#/checklist']),
    );
    expect(pointersOf(await start({ startedAt: '2026-03-02T09:10:01Z' }))).toEqual(['#/startedAt']);
    await data().rows(`update model set checklist = 'lift-chair'`);
    const unpublished = await start();
    expect([unpublished.statusCode, codeOf(unpublished)]).toEqual([422, 'checklist-not-published']);
  });

  it('is for the crew of the visit and analysts', async () => {
    const elsewhere = await crewHand(data(), home.tenant, await planned());
    expect(codeOf(await start({}, elsewhere))).toBe('not-found');
    expect(codeOf(await start({}, home.retailerPerson))).toBe('not-allowed');
    expect(codeOf(await start({}, await keyHand(data(), home, ['visits:write'])))).toBe('not-allowed');
    expect((await start({}, home.analyst)).statusCode).toBe(201);
  });
});

describe('answers', () => {
  it('lead from item to item, and what was not checked stays not checked', async () => {
    const at = await started();
    expect((await client.get(crew, `${at}/next`)).json()).toMatchObject({ kind: 'item', item: { id: 'crew-size' } });
    const sent = await send(
      at,
      answer('crew-size', 2),
      answer('time-in-use', ['new-today']),
      answer('carton-marks', ['corner-crushed'], 32, 'lower left'),
      answer('impact-indicator', null),
    );
    expect(sent.statusCode).toBe(201);
    expect(sent.json<View>().answers).toEqual(
      expect.arrayContaining([
        { item: 'carton-marks', value: ['corner-crushed'], note: 'lower left' },
        { item: 'impact-indicator', value: null },
      ]),
    );
    expect(sent.json<View>().owedPhotos).toEqual(
      expect.arrayContaining([
        expect.objectContaining({
          item: 'carton-marks',
          demand: 'close',
          says: expect.objectContaining({ en: expect.any(String) }),
        }),
      ]),
    );
    const { observation } = (await inspectionsOf(test, home.tenant, at)).observations('impact');
    expect(observation).toBe('not checked');
  });

  it('are facts that are added: the newest of an item counts, also when an older one arrives later', async () => {
    const at = await started();
    await send(at, answer('time-in-use', ['days'], 35));
    await send(at, answer('time-in-use', ['new-today'], 33));
    expect(await currentValue(at, 'time-in-use')).toEqual(['days']);
    await send(at, answer('time-in-use', ['months'], 36));
    expect(await currentValue(at, 'time-in-use')).toEqual(['months']);
    expect(await data().rows('select 1 from inspection_answer')).toHaveLength(3);
    await expect(data().rows('delete from inspection_answer')).rejects.toThrow(/never changed/);
  });

  it('may come in one batch in any order, each judged by what had been answered when it was given', async () => {
    const at = await started();
    const sent = await send(
      at,
      answer('impact-indicator', ['intact'], 34),
      answer('time-in-use', ['years'], 36),
      answer('crew-size', 2, 32),
      answer('time-in-use', ['new-today'], 33),
    );
    expect(sent.statusCode).toBe(201);
    expect(await currentValue(at, 'time-in-use')).toEqual(['years']);
    // After years in use nobody asks about the carton; the answer stays on record, and a claim does not rest on it.
    expect(sent.json<View>().asked.map((item) => item.id)).not.toContain('impact-indicator');
    const forClaim = await inspectionsOf(test, home.tenant, at);
    expect(forClaim.answers.map((each) => each.item).sort()).toEqual(['crew-size', 'time-in-use']);
  });

  it('are refused whole, with a pointer to each fault, and nothing of the batch is kept', async () => {
    const at = await started();
    const bad = await send(
      at,
      answer('time-in-use', ['new-today']),
      answer('no-such-item', 'yes'),
      answer('frame-square', 'wide'),
      answer('carton-marks', ['corner-crushed', 'gnawed']),
      answer('contents-count', { 'NO-PART': 1 }),
    );
    expect([bad.statusCode, codeOf(bad)]).toEqual([422, 'answer-invalid']);
    expect(pointersOf(bad)).toEqual(
      expect.arrayContaining([
        '#/answers/1/item',
        '#/answers/2/value',
        '#/answers/3/value/1',
        '#/answers/4/value/NO-PART',
      ]),
    );
    expect(await data().rows('select 1 from inspection_answer')).toEqual([]);
  });

  it('to an item that is not asked are refused', async () => {
    const at = await started();
    const answered = await send(at, answer('damage-lines-up', 'yes'));
    expect([answered.statusCode, codeOf(answered), pointersOf(answered)]).toEqual([
      422,
      'item-not-asked',
      ['#/answers/0/item'],
    ]);
  });

  it('with bad fields are refused before they are looked at', async () => {
    const at = await started();
    const deep = JSON.parse('['.repeat(70) + ']'.repeat(70)) as object;
    const bad = await client.post(crew, `${at}/answers`, {
      answers: [
        { item: 'crew-size', answeredAt: '2026-03-02T08:31:00' },
        { ...answer('customer-words', 'a\u0000b'), by: 'me' },
        { ...answer('crew-size', 2), value: deep },
      ],
    });
    expect(bad.statusCode).toBe(400);
    expect(new Set(pointersOf(bad))).toEqual(
      new Set([
        '#/answers/0/answeredAt',
        '#/answers/0/value',
        '#/answers/1/by',
        '#/answers/1/value',
        '#/answers/2/value',
      ]),
    );
    expect(pointersOf(await send(at))).toEqual(['#/answers']);
    expect(pointersOf(await send(at, { ...answer('crew-size', 2), answeredAt: '2026-03-03T00:00:00Z' }))).toEqual([
      '#/answers/0/answeredAt',
    ]);
    expect(codeOf(await client.post(crew, `${at}/answers`, [] as object))).toBe('invalid-request');
  });

  it('of two phones at once both go in', async () => {
    const at = await started();
    const sent = await Promise.all([
      send(at, answer('crew-size', 2)),
      send(at, answer('time-in-use', ['new-today'])),
      send(at, answer('customer-words', 'It creaks.')),
    ]);
    expect(sent.map((each) => each.statusCode)).toEqual([201, 201, 201]);
    expect((await view(at)).answers).toHaveLength(3);
  });
});

describe('a safety stop', () => {
  it('halts the walk until somebody acknowledges it, and says what to do', async () => {
    const at = await started();
    const raised = await send(at, answer('crew-size', 1));
    expect(raised.json<View>().stops).toMatchObject([{ stop: 'alone-with-two-person-lift' }]);
    const next = (await client.get(crew, `${at}/next`)).json<{ kind: string; stop: { says: object; do: object[] } }>();
    expect(next).toMatchObject({ kind: 'stop', stop: { says: { en: expect.any(String) } } });
    expect(next.stop.do.length).toBeGreaterThan(0);
    const halted = await send(at, answer('time-in-use', ['days']));
    expect([halted.statusCode, codeOf(halted), halted.json<{ stops: string[] }>().stops]).toEqual([
      409,
      'safety-stop-stands',
      ['alone-with-two-person-lift'],
    ]);
    const seen = await client.post(crew, `${at}/stops/alone-with-two-person-lift/acknowledgment`);
    expect([seen.statusCode, seen.json<{ acknowledgedAt: string }>().acknowledgedAt]).toEqual([
      201,
      '2026-03-02T09:00:00.000Z',
    ]);
    expect((await send(at, answer('time-in-use', ['days']))).statusCode).toBe(201);
  });

  it('is acknowledged by the first of two, and stays raised when the answer changes', async () => {
    const at = await started();
    await send(at, answer('crew-size', 1));
    const url = `${at}/stops/alone-with-two-person-lift/acknowledgment`;
    const [one, two] = await Promise.all([client.post(crew, url), client.post(home.analyst, url)]);
    expect(one.json()).toEqual(two.json());
    await send(at, answer('crew-size', 2, 40));
    expect((await view(at)).stops).toMatchObject([{ stop: 'alone-with-two-person-lift' }]);
    expect(codeOf(await client.post(crew, `${at}/stops/bare-conductor/acknowledgment`))).toBe('not-found');
  });
});

describe('finishing', () => {
  const complete = (at: string, payload: object, version = '"v1"', who = crew): Promise<Answered> =>
    client.post(who, `${at}/completion`, payload, { 'if-match': version });

  it('is refused with what is missing, and goes with gaps only for a reason', async () => {
    const at = await started();
    await send(at, answer('time-in-use', ['years']), answer('crew-size', 2));
    const refused = await complete(at, {});
    expect([refused.statusCode, codeOf(refused)]).toEqual([422, 'inspection-incomplete']);
    const { missing } = refused.json<{ missing: { items: string[]; photos: object[] } }>();
    expect(missing.items).toContain('frame-damage');
    expect(missing.items).not.toContain('crew-size');
    expect(missing.photos).toContainEqual({ item: 'serial', demand: 'label' });
    const unexplained = await complete(at, { acceptGaps: true });
    expect([unexplained.statusCode, codeOf(unexplained), pointersOf(unexplained)]).toEqual([
      422,
      'reason-required',
      ['#/reason'],
    ]);
    const done = await complete(at, { acceptGaps: true, reason: 'The customer asked us to leave.' });
    expect(done.statusCode).toBe(201);
    expect(done.json()).toMatchObject({
      state: 'finished',
      version: 2,
      gapsReason: 'The customer asked us to leave.',
      finishedAt: '2026-03-02T09:00:00.000Z',
    });
  });

  it('needs no reason once every item is answered and every photo is there; not checked is an answer', async () => {
    const at = await started();
    for (let asked = (await view(at)).asked; ;) {
      const known = new Set((await view(at)).answers.map((each) => each.item));
      const open = asked.filter((item) => !known.has(item.id));
      if (open.length === 0) break;
      const sent = await send(at, ...open.map((item) => answer(item.id, null)));
      expect(sent.statusCode).toBe(201);
      asked = sent.json<View>().asked;
    }
    const owed = (await view(at)).owedPhotos;
    expect(owed.length).toBeGreaterThan(0);
    expect((await client.get(crew, `${at}/next`)).json()).toMatchObject({ kind: 'photos', owedPhotos: owed });
    for (const { item, demand } of owed) await photo(at, item, demand);
    expect((await client.get(crew, `${at}/next`)).json()).toEqual({ kind: 'done' });
    expect((await complete(at, {})).statusCode).toBe(201);
  });

  it('happens once when two try at once, and nothing is added afterwards', async () => {
    const at = await started();
    const gaps = { acceptGaps: true, reason: 'No light in the hall.' };
    const answers = await Promise.all([complete(at, gaps), complete(at, gaps, '"v1"', home.analyst)]);
    expect(statusesOf(answers)).toEqual([201, 409]);
    const late = await send(at, answer('crew-size', 2));
    expect([late.statusCode, codeOf(late)]).toEqual([409, 'inspection-finished']);
    expect(codeOf(await client.post(crew, `${at}/completion`, gaps))).toBe('precondition-required');
  });

  it('never passes over a stop that nobody has seen', async () => {
    const at = await started();
    await send(at, answer('crew-size', 1));
    const refused = await complete(at, { acceptGaps: true, reason: 'We had to go.' });
    expect(codeOf(refused)).toBe('safety-stop-stands');
  });

  async function photo(at: string, item: string, shows: string): Promise<void> {
    await data().rows(
      `insert into exhibit (id, tenant_id, visit_id, inspection_id, item, shows, sha256, bytes, media_type, received_at, received_by, state)
       values ($1, $2, $3, $4, $5, $6, $7, 1, 'image/jpeg', now(), '{}', 'read')`,
      [randomUUID(), home.tenant, visit, at.slice(-36), item, shows, randomUUID().replaceAll('-', '').repeat(2)],
    );
  }
});

describe('inspections', () => {
  it('are seen by the crew of the visit and the staff of the tenant, and by nobody else', async () => {
    const at = await started();
    const elsewhere = await crewHand(data(), home.tenant, await planned());
    const other = await house(data());
    for (const who of [elsewhere, other.analyst]) {
      expect(codeOf(await client.get(who, at))).toBe('not-found');
      expect(codeOf(await client.get(who, `${at}/next`))).toBe('not-found');
      expect(codeOf(await client.get(who, `/v1/visits/${visit}/inspections`))).toBe('not-found');
      expect(codeOf(await client.post(who, `${at}/answers`, { answers: [answer('crew-size', 2)] }))).toBe('not-found');
      expect(codeOf(await client.post(who, `${at}/stops/x/acknowledgment`))).toBe('not-found');
      const done = await client.post(who, `${at}/completion`, {}, { 'if-match': '"v1"' });
      expect(codeOf(done)).toBe('not-found');
    }
    expect(codeOf(await client.get(home.retailerPerson, at))).toBe('not-allowed');
    const list = await client.get(home.analyst, `/v1/visits/${visit}/inspections`);
    expect(list.json()).toMatchObject({ items: [{ id: at.slice(-36), state: 'open' }] });
  });

  it('are located for other modules inside the walls of whoever asks', async () => {
    const at = await started();
    const id = at.slice(-36);
    expect(await actorScope(test, home.tenant).locate(id)).toMatchObject({ id, visitId: visit, state: 'open' });
    await expect(actorScope(test, home.tenant, await planned()).locate(id)).rejects.toMatchObject({
      code: 'not-found',
    });
    await expect(actorScope(test, (await house(data())).tenant).locate(id)).rejects.toMatchObject({
      code: 'not-found',
    });
  });
});
