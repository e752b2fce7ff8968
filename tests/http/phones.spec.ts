import { createHash, randomUUID } from 'node:crypto';
import canonicalize from 'canonicalize';
import { describe, expect, it } from 'vitest';
import { aPhoto } from '../support/photo-desk.js';
import { claimDesk, SERIAL } from '../support/claims.js';
import { digestOf } from '../support/photo-scene.js';
import { codeOf, crewHand, house, type Answered } from '../support/resources.js';

const desk = claimDesk();
const PHONE = randomUUID();

interface Fact {
  readonly id: string;
  readonly n: number;
  readonly kind: string;
  readonly inspection?: string;
  readonly at: string;
  readonly body: object;
}

const fact = (
  n: number,
  kind: string,
  body: object,
  inspection?: string,
  at = `2026-03-02T08:30:0${n % 10}Z`,
): Fact => ({
  id: randomUUID(),
  n,
  kind,
  at,
  body,
  ...(inspection === undefined ? {} : { inspection }),
});

const bring = (facts: readonly Fact[], over: object = {}, who = desk.crew): Promise<Answered> =>
  desk.client.send(who, {
    method: 'POST',
    url: `/v1/visits/${desk.visit}/facts`,
    payload: { phone: PHONE, sentAt: desk.test.clock.now().toString(), countedTo: facts.length, facts, ...over },
  });

interface Receipts {
  readonly receipts: readonly { id: string; sha256: string; state: string; problem?: string }[];
  readonly missing: readonly number[];
}
const received = async (facts: readonly Fact[], over: object = {}): Promise<Receipts> => {
  const answered = await bring(facts, over);
  expect(answered.statusCode, answered.body).toBe(200);
  return answered.json<Receipts>();
};
const states = ({ receipts }: Receipts): Record<string, string> =>
  Object.fromEntries(receipts.map(({ id, state }) => [id, state]));

const begin = (inspection: string, n = 1): Fact => fact(n, 'begin', { serial: SERIAL, crewSize: 2 }, inspection);
const answer = (inspection: string, n: number, item: string, value: unknown): Fact =>
  fact(n, 'answer', { item, value }, inspection);
const answersOf = async (inspection: string): Promise<unknown[]> =>
  (await desk.client.get(desk.crew, `/v1/inspections/${inspection}`)).json<{ answers: unknown[] }>().answers;

describe('facts from a phone', () => {
  it('are kept once, done once, and get a receipt with the hash of what is kept, as often as they come', async () => {
    const inspection = randomUUID();
    const facts = [begin(inspection), answer(inspection, 2, 'crew-size', 2)];
    const first = await received(facts);
    // The hash is worked out here by the reference implementation of RFC 8785 and Node's SHA-256.
    for (const each of facts) {
      const hash = createHash('sha256')
        .update(canonicalize(each) ?? '')
        .digest('hex');
      expect(first.receipts.find(({ id }) => id === each.id)).toEqual({ id: each.id, sha256: hash, state: 'taken' });
    }
    const again = await Promise.all([received(facts), received(facts), received(facts)]);
    for (const each of again) expect(states(each)).toEqual(states(first));
    expect(await answersOf(inspection)).toEqual([{ item: 'crew-size', value: 2 }]);
    expect(await desk.data().rows('select n from phone_fact order by n')).toEqual([{ n: 1 }, { n: 2 }]);
    expect(await desk.data().rows('select 1 one from inspection_answer')).toHaveLength(1);
    const one = await desk.client.get(desk.crew, `/v1/visits/${desk.visit}/facts/${facts[1]?.id}`);
    expect(one.json()).toEqual(first.receipts.find(({ id }) => id === facts[1]?.id));
  });

  it('wait for what the phone counted before them, and the gap is told', async () => {
    const inspection = randomUUID();
    const late = [
      begin(inspection),
      answer(inspection, 2, 'crew-size', 2),
      answer(inspection, 3, 'time-in-use', ['new-today']),
    ];
    const [first, second, third] = late as [Fact, Fact, Fact];
    const early = await received([first, third], { countedTo: 3 });
    expect(states(early)).toEqual({ [first.id]: 'taken', [third.id]: 'waiting' });
    expect(early.missing).toEqual([2]);
    const owing = (await desk.client.get(desk.home.analyst, '/v1/phones')).json<{ items: { factsOwed: number }[] }>();
    expect(owing.items.map(({ factsOwed }) => factsOwed)).toEqual([1]);
    expect(states(await received([second], { countedTo: 3 }))).toEqual({ [second.id]: 'taken' });
    expect(await answersOf(inspection)).toHaveLength(2);
    expect((await desk.client.get(desk.home.analyst, '/v1/phones')).json()).toEqual({ items: [] });
  });

  it('a stop counts before the answers that led to it; nobody ends the inspection until it is seen to', async () => {
    const inspection = randomUUID();
    const other = randomUUID();
    const stop = { stop: 'alone-with-two-person-lift' };
    const all = [
      begin(inspection),
      answer(inspection, 2, 'crew-size', 1),
      fact(3, 'stop', stop, inspection),
      fact(4, 'acknowledge', stop, inspection),
      answer(inspection, 5, 'time-in-use', ['new-today']),
    ] as const;
    const first = await received([all[0], all[2]], { countedTo: 3 });
    expect(states(first)).toEqual({ [all[0].id]: 'taken', [all[2].id]: 'taken' });
    const standing = await desk.client.get(desk.crew, `/v1/inspections/${inspection}/next`);
    expect(standing.json()).toMatchObject({ kind: 'stop', stop });
    // What another phone saw has happened and is kept; the end has to wait.
    const elsewhere = [
      answer(inspection, 1, 'time-in-use', ['new-today']),
      fact(2, 'complete', { reason: 'The customer had to leave.' }, inspection),
    ] as const;
    const held = states(await received(elsewhere, { phone: other, countedTo: 2 }));
    expect(held).toEqual({ [elsewhere[0].id]: 'taken', [elsewhere[1].id]: 'waiting' });
    expect(states(await received(all.slice(1, 4), { countedTo: 5 }))[all[3].id]).toBe('taken');
    const after = await desk.client.get(desk.crew, `/v1/visits/${desk.visit}/facts/${elsewhere[1].id}`);
    expect(after.json()).toMatchObject({ state: 'taken' });
    // It came after the inspection had ended: kept, with the reason.
    const [late] = (await received([all[4]], { countedTo: 5 })).receipts;
    expect([late?.state, late?.problem]).toEqual(['refused', expect.stringMatching(/another inspection/)]);
  });

  it('what cannot be done is kept with the reason and stops nothing behind it', async () => {
    const inspection = randomUUID();
    const facts = [
      begin(inspection),
      answer(inspection, 2, 'crew-size', 'many'),
      answer(inspection, 3, 'no-such-item', 'yes'),
      answer(inspection, 4, 'crew-size', 2),
      fact(5, 'receipt', { kind: 'lost', deliveredAt: '2026-03-02T08:00:00Z' }),
      answer(randomUUID(), 6, 'crew-size', 2),
    ];
    const { receipts } = await received(facts);
    const of = (n: number) => receipts.find(({ id }) => id === facts[n - 1]?.id);
    expect([1, 2, 3, 4, 5, 6].map((n) => of(n)?.state)).toEqual([
      'taken',
      'refused',
      'refused',
      'taken',
      'refused',
      'refused',
    ]);
    expect(of(2)?.problem).toMatch(/number/);
    expect(of(5)?.problem).toMatch(/kind must be one of/);
    expect(of(6)?.problem).toMatch(/no such inspection/);
    const phones = await desk.client.get(desk.home.analyst, `/v1/visits/${desk.visit}/phones`);
    expect(phones.json<{ phones: { refused: unknown[] }[] }>().phones[0]?.refused).toHaveLength(4);
  });

  it('the first content under an id, and under a number, is the one that stays', async () => {
    const inspection = randomUUID();
    const first = begin(inspection);
    await received([first]);
    const forged = { ...first, body: { serial: SERIAL, crewSize: 5 } };
    const [told] = (await received([forged])).receipts;
    expect(told?.sha256).toBe(
      createHash('sha256')
        .update(canonicalize(first) ?? '')
        .digest('hex'),
    );
    // Another fact under the same number of the same phone is not kept and gets no receipt.
    expect((await received([begin(randomUUID())])).receipts).toEqual([]);
    const sizes = await desk.data().rows('select crew_size from inspection');
    expect(sizes).toEqual([{ crew_size: 2 }]);
    await expect(desk.data().rows(`update phone_fact set body = '{}'`)).rejects.toThrow(/not changed/);
  });

  it('a clock that is off by more than ten minutes is put right, and the difference is shown', async () => {
    const inspection = randomUUID();
    const now = desk.test.clock.now();
    const ahead = now.add({ hours: 3 });
    const facts = [
      { ...begin(inspection), at: ahead.subtract({ minutes: 5 }).toString() },
      { ...answer(inspection, 2, 'crew-size', 2), at: ahead.subtract({ minutes: 4 }).toString() },
    ];
    expect(new Set(Object.values(states(await received(facts, { sentAt: ahead.toString() }))))).toEqual(
      new Set(['taken']),
    );
    const [row] = await desk.data().rows<{ at: Date }>('select answered_at at from inspection_answer');
    expect(row?.at.toISOString()).toBe(now.subtract({ minutes: 4 }).toString({ smallestUnit: 'millisecond' }));
    const phones = await desk.client.get(desk.home.analyst, `/v1/visits/${desk.visit}/phones`);
    expect(phones.json<{ phones: { clockAheadSeconds: number }[] }>().phones[0]?.clockAheadSeconds).toBe(10_800);
  });

  it('two phones that differ are both kept, and the check is named', async () => {
    const inspection = randomUUID();
    const other = randomUUID();
    await received([begin(inspection), answer(inspection, 2, 'crew-size', 2)]);
    await received([answer(inspection, 1, 'crew-size', 3)], { phone: other });
    const { disagreements } = (await desk.client.get(desk.home.analyst, `/v1/visits/${desk.visit}/phones`)).json<{
      disagreements: readonly object[];
    }>();
    expect(disagreements).toEqual([
      {
        inspection,
        unit: expect.any(String),
        serial: SERIAL,
        item: 'crew-size',
        answers: expect.arrayContaining([
          expect.objectContaining({ phone: PHONE, inspection, value: 2 }),
          expect.objectContaining({ phone: other, inspection, value: 3 }),
        ]),
        open: true,
      },
    ]);
  });

  it('another visit and another house see nothing of it, and bring nothing', async () => {
    const inspection = randomUUID();
    await received([begin(inspection)]);
    const elsewhere = await desk.delivered();
    const crew = await crewHand(desk.data(), desk.home.tenant, elsewhere);
    expect(codeOf(await bring([begin(randomUUID())], {}, crew))).toBe('not-found');
    const stranger = await house(desk.data());
    expect(codeOf(await bring([begin(randomUUID())], {}, stranger.analyst))).toBe('not-found');
    expect((await desk.client.get(stranger.analyst, '/v1/phones')).json()).toEqual({ items: [] });
    // A link sees its own visit only, also by an inspection's id.
    const foreign = await desk.client.send(crew, {
      method: 'POST',
      url: `/v1/visits/${elsewhere}/facts`,
      payload: {
        phone: PHONE,
        sentAt: desk.test.clock.now().toString(),
        countedTo: 1,
        facts: [answer(inspection, 1, 'crew-size', 9)],
      },
    });
    expect(foreign.json<Receipts>().receipts[0]?.state).toBe('refused');
    expect(await answersOf(inspection)).toEqual([]);
  });
});

describe('a claim from a phone', () => {
  const put = (id: string, inspectionId: string, over: object = {}): Promise<Answered> =>
    desk.client.send(desk.crew, {
      method: 'PUT',
      url: `/v1/claims/${id}`,
      payload: { visitId: desk.visit, serial: SERIAL, inspectionId, ground: 'shortage', ...over },
    });
  interface Arrived {
    readonly id: string;
    readonly number: string;
    readonly state: string;
    readonly addedTo: boolean;
    readonly photosOwed: number;
  }
  const arrived = async (id: string, inspectionId: string, over: object = {}): Promise<Arrived> => {
    const answered = await put(id, inspectionId, over);
    expect(answered.statusCode, answered.body).toBe(200);
    return answered.json<Arrived>();
  };

  it('is filed once, however often it comes, also side by side', async () => {
    const inspection = await desk.inspected();
    const id = randomUUID();
    const all = await Promise.all([1, 2, 3, 4].map(() => arrived(id, inspection)));
    expect(new Set(all.map(({ number }) => number)).size).toBe(1);
    expect(await desk.kinds(id)).toEqual(['claim-drafted', 'claim-filed']);
  });

  it('does not wait for its photos; when the last one is here it is looked at again, once', async () => {
    const inspection = await desk.inspected(2);
    const photo = randomUUID();
    const bytes = await aPhoto();
    const place = { item: 'missing-search', shows: 'close' };
    await received([fact(1, 'photo', { photo, ...place, sha256: 'f'.repeat(64) }, inspection)]);
    const id = randomUUID();
    expect(await arrived(id, inspection)).toMatchObject({ state: 'filed', photosOwed: 1, addedTo: false });
    await desk.assess();
    expect(await arrived(id, inspection)).toMatchObject({ state: 'proposed', photosOwed: 1 });
    desk.test.clock.moveTo(desk.test.clock.now().add({ minutes: 1 }));
    const url = `/v1/inspections/${inspection}/photos/${photo}?${new URLSearchParams(place).toString()}`;
    const headers = { 'content-type': 'image/jpeg', 'content-digest': digestOf(bytes) };
    expect((await desk.client.send(desk.crew, { method: 'PUT', url, payload: bytes, headers })).statusCode).toBe(201);
    expect(await arrived(id, inspection)).toMatchObject({ state: 'filed', photosOwed: 0 });
    await desk.assess();
    expect(await arrived(id, inspection)).toMatchObject({ state: 'proposed', photosOwed: 0 });
    expect((await desk.kinds(id)).filter((kind) => kind === 'evidence-added')).toHaveLength(1);
  });

  it('of a second phone for the same unit is added to the first and gets its number', async () => {
    const inspection = await desk.inspected();
    const first = await arrived(randomUUID(), inspection);
    await desk.assess();
    const secondId = randomUUID();
    const second = await arrived(secondId, await desk.inspected(), { words: 'The box was wet as well.' });
    expect(second).toMatchObject({ id: first.id, number: first.number, addedTo: true });
    await desk.assess();
    await arrived(secondId, inspection);
    const added = (await desk.events(first.id)).filter(({ kind }) => kind === 'evidence-added');
    expect(added).toHaveLength(1);
    expect(JSON.stringify(added[0]?.body)).toContain('The box was wet as well.');
  });

  it('of a visit that the link does not reach is not found', async () => {
    const inspection = await desk.inspected();
    const crew = await crewHand(desk.data(), desk.home.tenant, await desk.delivered());
    const answered = await desk.client.send(crew, {
      method: 'PUT',
      url: `/v1/claims/${randomUUID()}`,
      payload: { visitId: desk.visit, serial: SERIAL, inspectionId: inspection, ground: 'shortage' },
    });
    expect(codeOf(answered)).toBe('not-found');
  });
});
