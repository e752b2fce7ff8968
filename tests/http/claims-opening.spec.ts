import { randomUUID } from 'node:crypto';
import { mod11_10 } from 'cdigit';
import { describe, expect, it } from 'vitest';
import { claimDesk, SERIAL, type ClaimView } from '../support/claims.js';
import {
  codeOf,
  crewHand,
  house,
  pointersOf,
  statusesOf,
  stock,
  visitBody,
  type Answered,
} from '../support/resources.js';

const desk = claimDesk();
const SHORT = { ground: 'shortage', returnReason: undefined, wish: undefined } as const;
const keyed = (key: string, body: object): Promise<Answered> =>
  desk.client.post(desk.crew, '/v1/claims', body, { 'idempotency-key': `"${key}"` });

describe('opening a claim', () => {
  it('answers 201 with its address and version, and files it in the same step when asked to', async () => {
    const body = desk.returnBody();
    const answered = await desk.client.post(desk.crew, '/v1/claims', body);
    expect(answered.statusCode).toBe(201);
    expect(answered.headers).toMatchObject({ location: `/v1/claims/${String(body['id'])}`, etag: '"v2"' });
    expect(answered.json()).toMatchObject({
      id: body['id'],
      state: 'filed',
      ground: 'return',
      returnReason: 'change of mind',
      visitId: desk.visit,
      currency: 'USD',
      noticedAt: '2026-03-02T08:40:00.000Z',
      filedAt: '2026-03-02T09:00:00.000Z',
      version: 2,
    });
    const read = await desk.client.get(desk.home.analyst, answered.headers['location'] as string);
    expect([read.json(), read.headers['etag']]).toEqual([answered.json(), '"v2"']);
    expect(await desk.kinds(String(body['id']))).toEqual(['claim-drafted', 'claim-filed']);
  });

  it('as a draft gives it no number until it is filed', async () => {
    const draft = await desk.filed({ file: false });
    expect(draft).toMatchObject({ state: 'draft', number: null, version: 1 });
    const filed = await desk.act(desk.crew, draft.id, 'filing');
    expect([filed.statusCode, filed.headers['etag'], filed.json<ClaimView>().state]).toEqual([201, '"v2"', 'filed']);
    expect(codeOf(await desk.act(desk.crew, draft.id, 'filing'))).toBe('claim-state-forbids');
  });

  it('makes an id when none is sent, and takes ids in capitals as the same', async () => {
    const made = await desk.filed({ id: undefined });
    expect(made.id).toMatch(/^[0-9a-f-]{36}$/);
    const visit = await desk.delivered();
    const id = randomUUID();
    const analyst = desk.home.analyst;
    expect((await desk.filed({ id: id.toUpperCase(), visitId: visit }, analyst)).id).toBe(id);
  });

  it('gives every number a check digit of ISO/IEC 7064 (MOD 11,10), and never the same twice', async () => {
    const numbers: string[] = [];
    for (let n = 0; n < 12; n += 1) {
      const { number } = await desk.filed({ visitId: await desk.delivered() }, desk.home.analyst);
      numbers.push(String(number));
    }
    for (const number of numbers) {
      expect(number).toMatch(/^\d{9}$/);
      // The npm library cdigit computes the same standard on its own.
      expect(mod11_10.validate(number), `number ${number}`).toBe(true);
    }
    expect(new Set(numbers).size).toBe(numbers.length);
  });

  it('for damage, shortage or failure needs an inspection, and keeps the draft when it is refused', async () => {
    const refused = await desk.open(desk.crew, SHORT);
    expect([refused.statusCode, codeOf(refused)]).toEqual([422, 'claim-incomplete']);
    expect(await desk.counts()).toMatchObject({ claim: 0, claim_event: 0 });
    const draft = await desk.filed({ ...SHORT, file: false });
    expect(codeOf(await desk.act(desk.crew, draft.id, 'filing'))).toBe('claim-incomplete');
    expect((await desk.read(draft.id)).state).toBe('draft');
    expect(await desk.kinds(draft.id)).toEqual(['claim-drafted']);
  });

  it('rests on an inspection of the same unit', async () => {
    const inspectionId = await desk.inspected();
    const two = [
      { sku: 'OST-DRIFT-Q-US', serial: 'DR7K204519' },
      { sku: 'OST-DRIFT-Q-US', serial: 'DR7K204520' },
    ];
    const visitId = await desk.delivered(30_000, { units: two });
    const other = { ...SHORT, inspectionId, visitId, serial: 'DR7K204519' };
    const refused = await desk.open(desk.home.analyst, other);
    expect([refused.statusCode, codeOf(refused)]).toEqual([422, 'serial-not-in-visit']);
    const unknown = await desk.open(desk.crew, { ...SHORT, inspectionId: randomUUID() });
    expect([unknown.statusCode, codeOf(unknown)]).toEqual([404, 'not-found']);
    expect(await desk.counts()).toMatchObject({ claim: 0 });
    expect((await desk.filed({ ...SHORT, inspectionId })).state).toBe('filed');
  });

  it('happens once for a unit while a claim on it is open', async () => {
    const first = await desk.filed();
    const again = await desk.open(desk.crew);
    expect([again.statusCode, codeOf(again)]).toEqual([409, 'duplicate-claim']);
    await desk.acts(first.id, [desk.home.analyst, 'withdrawal', { reason: 'Filed by mistake.' }]);
    expect((await desk.open(desk.crew)).statusCode).toBe(201);
  });

  it('takes a serial number as people type it', async () => {
    expect((await desk.open(desk.crew, { serial: ` ${SERIAL.toLowerCase()} ` })).statusCode).toBe(201);
  });
});

describe('repeating a filing', () => {
  it('under the same key answers the same: one claim, one number, one filing', async () => {
    const body = desk.returnBody();
    const key = randomUUID();
    const answers = [await keyed(key, body), await keyed(key, body), await keyed(key, body)];
    expect(answers.map((each) => each.statusCode)).toEqual([201, 201, 201]);
    for (const each of answers) {
      expect(each.json()).toEqual(answers[0]?.json());
      expect(each.headers).toMatchObject({ etag: '"v2"', location: `/v1/claims/${String(body['id'])}` });
    }
    expect(answers[1]?.headers['idempotency-replayed']).toBe('true');
    expect(await desk.counts()).toMatchObject({ claim: 1, claim_event: 2, idempotency_key: 2 });
    expect(await desk.assess()).toBe(1);
  });

  it('under the same key with another body is refused (422), and without a key as well (400)', async () => {
    const key = randomUUID();
    const body = desk.returnBody();
    await keyed(key, body);
    const other = await keyed(key, { ...body, words: 'another story' });
    expect([other.statusCode, codeOf(other)]).toEqual([422, 'idempotency-key-reused']);
    const without = await desk.client.send(desk.crew, { method: 'POST', url: '/v1/claims', payload: body });
    expect([without.statusCode, codeOf(without)]).toEqual([400, 'idempotency-key-missing']);
    expect(await desk.counts()).toMatchObject({ claim: 1, claim_event: 2 });
  });

  it('ten times at once under one key makes one claim', async () => {
    const [key, body] = [randomUUID(), desk.returnBody()];
    const answers = await Promise.all(Array.from({ length: 10 }, () => keyed(key, body)));
    const made = answers.filter((each) => each.statusCode === 201);
    expect(made.length).toBeGreaterThan(0);
    for (const each of answers) {
      if (each.statusCode === 201) expect(each.json()).toEqual(made[0]?.json());
      else expect([each.statusCode, codeOf(each)]).toEqual([409, 'idempotency-key-in-use']);
    }
    expect(await desk.counts()).toMatchObject({ claim: 1, claim_event: 2 });
    expect((await keyed(key, body)).json()).toEqual(made[0]?.json());
  });

  it('ten times at once under ten keys but one id of the phone makes one claim, and each gets it', async () => {
    const body = desk.returnBody();
    const answers = await Promise.all(
      Array.from({ length: 10 }, () => desk.client.post(desk.crew, '/v1/claims', body)),
    );
    expect(statusesOf(answers)).toEqual(Array<number>(10).fill(201));
    expect(new Set(answers.map((each) => each.json<ClaimView>().number)).size).toBe(1);
    expect(await desk.kinds(String(body['id']))).toEqual(['claim-drafted', 'claim-filed']);
    expect(await desk.assess()).toBe(1);
  });

  it('under the same id later answers with the claim as it stands', async () => {
    const { id } = await desk.proposed();
    const again = await desk.open(desk.crew, { id });
    expect([again.statusCode, again.json<ClaimView>().state, again.headers['etag']]).toEqual([201, 'proposed', '"v3"']);
    expect(await desk.counts()).toMatchObject({ claim: 1, claim_event: 4 });
  });

  it('files a draft that was opened under the id before', async () => {
    const draft = await desk.filed({ file: false });
    const again = await desk.open(desk.crew, { id: draft.id, file: true });
    expect([again.statusCode, again.json<ClaimView>().state]).toEqual([201, 'filed']);
    expect(await desk.kinds(draft.id)).toEqual(['claim-drafted', 'claim-filed']);
  });

  it('under the id of another claim is refused, also when that one is of another house, about which nothing is said', async () => {
    const { id } = await desk.filed();
    const visitId = await desk.delivered();
    const other = await desk.open(desk.home.analyst, { id, visitId });
    expect([other.statusCode, codeOf(other)]).toEqual([409, 'duplicate-claim']);
    const strangers = await house(desk.data());
    await stock(desk.test, strangers);
    const planned = await desk.client.post(strangers.analyst, '/v1/visits', visitBody());
    const theirs = await desk.open(strangers.analyst, { id, visitId: planned.json<{ id: string }>().id });
    expect([theirs.statusCode, codeOf(theirs)]).toEqual([409, 'duplicate-claim']);
    expect(theirs.body).not.toContain(desk.home.tenant);
    expect(await desk.counts()).toMatchObject({ claim: 1 });
  });
});

describe('facts that come with a claim', () => {
  it('are refused with a pointer to each fault, all at once', async () => {
    const bad = await desk.open(desk.crew, {
      visitId: 'one',
      serial: 7,
      ground: 'earthquake',
      failedRepairs: -1,
      noticedAt: 'yesterday',
      wish: 'everything',
      colour: 'red',
    });
    expect([bad.statusCode, codeOf(bad)]).toEqual([400, 'invalid-request']);
    expect(new Set(pointersOf(bad))).toEqual(
      new Set(['#/visitId', '#/serial', '#/ground', '#/failedRepairs', '#/noticedAt', '#/wish', '#/colour']),
    );
  });

  it('hold a return reason for returns, and only for those', async () => {
    expect(pointersOf(await desk.open(desk.crew, { returnReason: undefined }))).toEqual(['#/returnReason']);
    expect(pointersOf(await desk.open(desk.crew, { ground: 'damage' }))).toEqual(['#/returnReason']);
  });

  it('lie in the past and carry an offset', async () => {
    expect(pointersOf(await desk.open(desk.crew, { noticedAt: '2026-03-02T09:10:01Z' }))).toEqual(['#/noticedAt']);
    expect(pointersOf(await desk.open(desk.crew, { noticeToCarrierAt: '2026-03-02T08:00:00' }))).toEqual([
      '#/noticeToCarrierAt',
    ]);
  });

  it('name a visit that one can see', async () => {
    const elsewhere = await crewHand(desk.data(), desk.home.tenant, await desk.delivered());
    expect(codeOf(await desk.open(elsewhere))).toBe('not-found');
    expect(codeOf(await desk.open(desk.home.analyst, { visitId: randomUUID() }))).toBe('not-found');
  });
});
