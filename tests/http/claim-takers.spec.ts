import { beforeEach, describe, expect, it } from 'vitest';
import { claimDesk } from '../support/claims.js';
import { codeOf, hand, house, type Answered, type Hand } from '../support/resources.js';

const desk = claimDesk();
let id: string;

const url = (claim = id): string => `/v1/claims/${claim}/taker`;
const take = (who: Hand, body: object = {}): Promise<Answered> => desk.client.put(who, url(), body);
const putBack = (who: Hand): Promise<Answered> => desk.client.send(who, { method: 'DELETE', url: url() });
const refusal = (answer: Answered): [number, string] => [answer.statusCode, codeOf(answer)];
const holder = async (): Promise<unknown> =>
  (await desk.client.get(desk.home.analyst, url())).json<{ takenBy: unknown }>().takenBy;
/** Kinds of the events that taking makes. */
const takings = async (): Promise<string[]> =>
  (await desk.kinds(id)).filter((kind) => kind === 'claim-taken' || kind === 'claim-put-back');

beforeEach(async () => {
  ({ id } = await desk.proposed());
});

describe('taking a claim', () => {
  it('shows the desk who has it, notes it in the trail, and changes neither version, state nor clock', async () => {
    const before = await desk.read(id);
    const taken = await take(desk.home.analyst);
    expect([taken.statusCode, taken.json()]).toMatchObject([200, { takenBy: { id: desk.home.analyst.id } }]);
    expect((await take(desk.home.analyst)).statusCode).toBe(200);
    expect(await takings()).toEqual(['claim-taken']);
    expect(await desk.read(id)).toEqual(before);
    const list = await desk.client.get(desk.second, '/v1/claims');
    expect(list.json<{ items: object[] }>().items).toMatchObject([{ id, takenBy: { id: desk.home.analyst.id } }]);
    expect((await putBack(desk.home.analyst)).statusCode).toBe(204);
    expect((await putBack(desk.home.analyst)).statusCode).toBe(204);
    expect([await holder(), await takings()]).toEqual([null, ['claim-taken', 'claim-put-back']]);
  });

  it('locks nobody out: another analyst decides it all the same, at the version that they saw', async () => {
    await take(desk.home.analyst);
    const decided = await desk.actAt(desk.second, id, 'decisions', '"v3"', { outcome: 'approved' });
    expect(decided.statusCode).toBe(201);
  });

  it('from somebody else takes their id; a third person in between is told of', async () => {
    await take(desk.home.analyst);
    const refused = await take(desk.second);
    expect(refusal(refused)).toEqual([409, 'claim-taken']);
    expect(refused.json()).toMatchObject({ taker: { id: desk.home.analyst.id } });
    expect(refused.json<{ detail: string }>().detail).toMatch(/ has this claim\. .*\.$/);
    expect(refusal(await putBack(desk.second))).toEqual([409, 'claim-taken']);
    expect((await take(desk.second, { from: desk.home.analyst.id })).statusCode).toBe(200);
    const third = await hand(desk.data(), desk.home.tenant, ['analyst']);
    expect(refusal(await take(third, { from: desk.home.analyst.id }))).toEqual([409, 'claim-taken']);
    expect(await holder()).toMatchObject({ id: desk.second.id });
    expect((await desk.events(id)).at(-1)?.body).toMatchObject({ takenFromId: desk.home.analyst.id });
  });

  it('at the same moment goes to one of the two, and the other is told', async () => {
    const both = await Promise.all([take(desk.home.analyst), take(desk.second)]);
    expect(await takings()).toEqual(['claim-taken']);
    const firstWon = both[0].statusCode === 200;
    expect(both.map(({ statusCode }) => statusCode)).toEqual(firstWon ? [200, 409] : [409, 200]);
    expect(await holder()).toMatchObject({ id: (firstWon ? desk.home.analyst : desk.second).id });
  });

  it('of somebody who is shut out counts for nothing until they are let in again', async () => {
    await take(desk.second);
    await desk.data().rows('update person set disabled_at = now() where id = $1', [desk.second.id]);
    expect(await holder()).toBeNull();
    await desk.data().rows('update person set disabled_at = null where id = $1', [desk.second.id]);
    expect(await holder()).toMatchObject({ id: desk.second.id });
    await desk.data().rows('update person set disabled_at = now() where id = $1', [desk.second.id]);
    expect((await take(desk.home.analyst)).statusCode).toBe(200);
    expect((await desk.events(id)).at(-1)?.body).toEqual({});
  });

  it('is of no use when nothing is left to do', async () => {
    await desk.acts(id, [desk.home.analyst, 'withdrawal', { reason: 'It works after all.' }]);
    expect(refusal(await take(desk.second))).toEqual([409, 'claim-withdrawn']);
    expect(await takings()).toEqual([]);
  });

  it('is for analysts of the house, and nobody else hears of it', async () => {
    const { home } = desk;
    for (const who of [home.retailerPerson, desk.crew, home.owner, home.administrator]) {
      expect(refusal(await take(who))).toEqual([403, 'not-allowed']);
      expect(refusal(await putBack(who))).toEqual([403, 'not-allowed']);
    }
    const foreign = await house(desk.data());
    expect(refusal(await take(foreign.analyst))).toEqual([404, 'not-found']);
    expect(refusal(await putBack(foreign.analyst))).toEqual([404, 'not-found']);
    expect(refusal(await desk.client.get(foreign.analyst, url()))).toEqual([404, 'not-found']);
    await take(home.analyst);
    expect(refusal(await desk.client.get(home.retailerPerson, url()))).toEqual([403, 'not-allowed']);
    for (const address of ['/v1/claims', `/v1/claims/${id}`, `/v1/claims/${id}/dossier`, `/v1/claims/${id}/timeline`]) {
      const read = await desk.client.get(home.retailerPerson, address);
      expect([read.statusCode, /takenBy|claim-taken/.test(read.body)]).toEqual([200, false]);
    }
  });

  it('refuses what is no id and what it does not know', async () => {
    expect((await take(desk.home.analyst, { from: 'Ada' })).statusCode).toBe(400);
    expect((await take(desk.home.analyst, { force: true })).statusCode).toBe(400);
  });
});
