import { randomUUID } from 'node:crypto';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { claimDesk, SERIAL } from '../support/claims.js';
import { digestOf } from '../support/photo-scene.js';
import { aPhoto } from '../support/photo-desk.js';
import { codeOf, house, type Answered } from '../support/resources.js';
import { TEST_START } from '../support/test-app.js';

const desk = claimDesk();
const PLACE = { item: 'missing-search', shows: 'close' };
let phone: string;
let inspection: string;

interface Fact {
  readonly kind: string;
  readonly body: object;
  readonly n: number;
  readonly at?: string;
}

/** Brings facts about the inspection from a phone. */
async function bring(from: string, facts: readonly Fact[], over: object = {}): Promise<string[]> {
  const now = desk.test.clock.now().toString();
  const sent = facts.map((fact) => ({ id: randomUUID(), at: now, inspection, ...fact }));
  const payload = {
    phone: from,
    sentAt: now,
    countedTo: Math.max(0, ...facts.map(({ n }) => n)),
    facts: sent,
    ...over,
  };
  const answered = await desk.client.send(desk.crew, {
    method: 'POST',
    url: `/v1/visits/${desk.visit}/facts`,
    payload,
  });
  expect(answered.statusCode, answered.body).toBe(200);
  return answered.json<{ receipts: { state: string }[] }>().receipts.map(({ state }) => state);
}

const says = (n: number, item: string, value: unknown): Fact => ({ n, kind: 'answer', body: { item, value } });
const holds = (n: number, photo = randomUUID()): Fact => ({
  n,
  kind: 'photo',
  body: { photo, ...PLACE, sha256: 'f'.repeat(64) },
});

interface Owing {
  readonly phone: string;
  readonly factsOwed: number;
  readonly photosOwed: number;
  readonly lastHeardAt: string;
  readonly lost?: { readonly by: string; readonly because: string };
  readonly claims: readonly { readonly id: string; readonly number?: string }[];
}
const owing = async (state: string, who = desk.home.analyst): Promise<readonly Owing[]> =>
  (await desk.client.get(who, `/v1/phones?state=${state}`)).json<{ items: Owing[] }>().items;

const REASON = 'Fell from the truck on the way back.';
async function lose(over: object = {}, who = desk.home.analyst): Promise<Answered> {
  const [heard] = await desk.data().rows<{ at: Date }>('select last_heard_at at from phone where id = $1', [phone]);
  const body = { reason: REASON, heardAt: heard?.at.toISOString(), ...over };
  return desk.client.post(who, `/v1/visits/${desk.visit}/phones/${phone}/loss`, body);
}

async function arrive(id: string): Promise<{ state: string; photosOwed: number }> {
  const payload = { visitId: desk.visit, serial: SERIAL, inspectionId: inspection, ground: 'shortage' };
  const answered = await desk.client.send(desk.crew, { method: 'PUT', url: `/v1/claims/${id}`, payload });
  expect(answered.statusCode, answered.body).toBe(200);
  return answered.json();
}

// Sessions end where nobody uses them for a while.
afterEach(() => desk.test.clock.moveTo(TEST_START));
beforeEach(async () => {
  phone = randomUUID();
  inspection = await desk.inspected(2);
});

describe('a phone that is lost', () => {
  it('owes nothing any more: what waited behind a gap is done, and the claims of the visit say so', async () => {
    const claim = randomUUID();
    await arrive(claim);
    await desk.assess();
    const states = await bring(phone, [holds(1), says(3, 'packaging-kept', 'no')]);
    expect(states.toSorted()).toEqual(['taken', 'waiting']);
    const [before] = await owing('owing');
    expect(before).toMatchObject({ phone, factsOwed: 1, photosOwed: 1, claims: [{ id: claim }] });
    const answered = await lose();
    expect(answered.statusCode, answered.body).toBe(201);
    expect(answered.json()).toMatchObject({ phone, visit: desk.visit, photos: 1, facts: 1 });
    expect(await owing('owing')).toEqual([]);
    expect(await owing('lost')).toMatchObject([{ phone, lost: { because: REASON } }]);
    const kept = await desk
      .data()
      .rows('select value from inspection_answer where item = $1 and value = $2', ['packaging-kept', '"no"']);
    expect(kept).toHaveLength(1);
    expect((await arrive(claim)).photosOwed).toBe(0);
    const told = (await desk.events(claim)).find(({ kind }) => kind === 'phone-lost');
    expect(told?.body).toMatchObject({ phone, photos: 1, facts: 1, reason: REASON });
    // The retailer reads nothing of it.
    const timeline = await desk.client.get(desk.home.retailerPerson, `/v1/claims/${claim}/timeline`);
    expect(timeline.body).not.toContain('phone');
  });

  it('lets a proposal be made once more with the photos that did come', async () => {
    const claim = randomUUID();
    const [first, second] = [randomUUID(), randomUUID()];
    await bring(phone, [holds(1, first), holds(2, second)]);
    await arrive(claim);
    await desk.assess();
    desk.test.clock.moveTo(desk.test.clock.now().add({ minutes: 1 }));
    const bytes = await aPhoto();
    const url = `/v1/inspections/${inspection}/photos/${first}?${new URLSearchParams(PLACE).toString()}`;
    const headers = { 'content-type': 'image/jpeg', 'content-digest': digestOf(bytes) };
    await desk.client.send(desk.crew, { method: 'PUT', url, payload: bytes, headers });
    expect(await arrive(claim)).toMatchObject({ state: 'proposed', photosOwed: 1 });
    expect((await lose()).statusCode).toBe(201);
    expect((await desk.read(claim)).state).toBe('filed');
    expect((await desk.kinds(claim)).slice(-2)).toEqual(['phone-lost', 'evidence-added']);
  });

  it('is not lost when it is heard again, and what it brings is taken', async () => {
    await bring(phone, [holds(1)]);
    await lose();
    desk.test.clock.moveTo(desk.test.clock.now().add({ minutes: 5 }));
    await bring(phone, [], { countedTo: 1 });
    expect(await owing('lost')).toEqual([]);
    expect(await owing('owing')).toMatchObject([{ phone, photosOwed: 1 }]);
    expect(await bring(phone, [says(2, 'packaging-kept', 'no')])).toEqual(['taken']);
  });

  it('is not called lost by somebody who has not seen that it was heard, nor without a reason, nor by others', async () => {
    await bring(phone, [holds(1)]);
    expect(codeOf(await lose({ heardAt: '2026-01-01T00:00:00Z' }))).toBe('version-changed');
    expect(codeOf(await lose({ reason: 'gone' }))).toBe('invalid-request');
    expect(codeOf(await lose({}, desk.home.administrator))).toBe('not-allowed');
    expect(codeOf(await lose({}, (await house(desk.data())).analyst))).toBe('not-found');
    const url = `/v1/visits/${desk.visit}/phones/${randomUUID()}/loss`;
    const unknown = await desk.client.post(desk.home.analyst, url, { reason: REASON, heardAt: '2026-03-02T08:00:00Z' });
    expect(codeOf(unknown)).toBe('not-found');
    expect(await owing('owing')).toHaveLength(1);
  });
});

describe('two phones that disagree', () => {
  const other = randomUUID();
  const WHY = 'The photo of the empty hallway shows it.';
  interface Shown {
    readonly item: string;
    readonly open: boolean;
    readonly answers: readonly { readonly value: unknown; readonly saidAt?: string }[];
    readonly settled?: { readonly value: unknown; readonly words: string; readonly by: string };
  }
  const shown = async (): Promise<readonly Shown[]> =>
    (await desk.client.get(desk.home.analyst, `/v1/visits/${desk.visit}/phones`)).json<{ disagreements: Shown[] }>()
      .disagreements;
  const settle = (claim: string, over: object = {}, who = desk.home.analyst): Promise<Answered> =>
    desk.act(who, claim, 'settled-answers', { item: 'packaging-kept', value: 'no', words: WHY, ...over });
  /** What the newest assessment of a claim was told of the packaging. */
  const assessedOn = async (claim: string): Promise<unknown> => {
    const [row] = await desk
      .data()
      .rows<{ facts: { inspection: { answers: readonly { item: string; value: unknown }[] } } }>(
        'select facts from claim_assessment where claim_id = $1 order by made_at desc limit 1',
        [claim],
      );
    return row?.facts.inspection.answers.find(({ item }) => item === 'packaging-kept')?.value;
  };

  it('are settled by an analyst: the claim is assessed on what was settled, and both answers stay', async () => {
    const claim = randomUUID();
    await bring(other, [says(1, 'packaging-kept', 'no')]);
    desk.test.clock.moveTo(desk.test.clock.now().add({ minutes: 1 }));
    await bring(phone, [says(1, 'packaging-kept', 'yes')]);
    await arrive(claim);
    await desk.assess();
    expect(await assessedOn(claim)).toBe('yes');
    expect(await shown()).toMatchObject([{ item: 'packaging-kept', open: true }]);
    const settled = await settle(claim);
    expect(settled.statusCode, settled.body).toBe(201);
    expect(settled.json()).toMatchObject({ state: 'filed' });
    desk.test.clock.moveTo(desk.test.clock.now().add({ minutes: 1 }));
    await desk.assess();
    expect(await assessedOn(claim)).toBe('no');
    const [after] = await shown();
    expect(after).toMatchObject({ open: false, settled: { value: 'no', words: WHY } });
    expect(after?.answers.map(({ value }) => value).toSorted()).toEqual(['no', 'yes']);
    const told = (await desk.events(claim)).find(({ kind }) => kind === 'answer-settled');
    expect(told?.body).toMatchObject({ item: 'packaging-kept', value: 'no', words: WHY });
  });

  it('open the matter again when one of them says something new, and that counts', async () => {
    const claim = randomUUID();
    await bring(other, [says(1, 'packaging-kept', 'no')]);
    await bring(phone, [says(1, 'packaging-kept', 'yes')]);
    await arrive(claim);
    await desk.assess();
    await settle(claim);
    desk.test.clock.moveTo(desk.test.clock.now().add({ minutes: 1 }));
    await bring(phone, [says(2, 'packaging-kept', null)]);
    expect(await shown()).toMatchObject([{ open: true, settled: { value: 'no' } }]);
    await desk.assess();
    expect(await assessedOn(claim)).toBeNull();
  });

  it('are not settled by a value that fits no answer, without a reason, or where they agree', async () => {
    const claim = randomUUID();
    await bring(other, [says(1, 'packaging-kept', 'no')]);
    await bring(phone, [says(1, 'packaging-kept', 'yes')]);
    await arrive(claim);
    await desk.assess();
    expect(codeOf(await settle(claim, { value: 'perhaps' }))).toBe('answer-invalid');
    expect(codeOf(await settle(claim, { words: 'because' }))).toBe('invalid-request');
    expect(codeOf(await settle(claim, { item: 'crew-size', value: 2 }))).toBe('not-found');
    const stale = { item: 'packaging-kept', value: 'no', words: WHY };
    expect(codeOf(await desk.actAt(desk.home.analyst, claim, 'settled-answers', '"v1"', stale))).toBe(
      'version-changed',
    );
    expect(codeOf(await settle(claim, {}, desk.home.retailerPerson))).toBe('not-allowed');
    expect(await shown()).toMatchObject([{ open: true }]);
  });

  it('whose clock was off by more than ten minutes are shown with both times', async () => {
    const behind = desk.test.clock.now().subtract({ hours: 2 });
    const at = behind.subtract({ minutes: 5 }).toString();
    await bring(other, [says(1, 'packaging-kept', 'no')]);
    await bring(phone, [{ ...says(1, 'packaging-kept', 'yes'), at }], { sentAt: behind.toString() });
    const [found] = await shown();
    const times = found?.answers.map(({ saidAt }) => saidAt).filter((each) => each !== undefined);
    expect(times?.map((each) => Temporal.Instant.from(each).epochMilliseconds)).toEqual([
      Temporal.Instant.from(at).epochMilliseconds,
    ]);
  });
});
