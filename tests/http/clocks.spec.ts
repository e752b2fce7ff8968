import { randomUUID } from 'node:crypto';
import { describe, expect, it } from 'vitest';
import { ClockWatchService } from '../../src/claims/clock-watch.service.js';
import { claimDesk, type ClaimView } from '../support/claims.js';
import {
  codeOf,
  company,
  hand,
  house,
  keyHand,
  pointersOf,
  stock,
  type Answered,
  type Hand,
} from '../support/resources.js';
import { TEST_START } from '../support/test-app.js';

const desk = claimDesk();

interface DueItem {
  readonly claimId: string;
  readonly clock: string;
  readonly owedBy: string;
  readonly state: string;
  readonly endsAt: string;
  readonly daysLeft: number;
  readonly warnings: number;
  readonly missedAt?: string;
}
interface DuePage {
  readonly items: readonly DueItem[];
  readonly next?: string;
}

const due = async (who: Hand, query = ''): Promise<DuePage> => {
  const answered = await desk.client.get(who, `/v1/due${query}`);
  expect(answered.statusCode, `answered: ${answered.body}`).toBe(200);
  return answered.json<DuePage>();
};
const clocks = async (who: Hand, id: string): Promise<readonly (DueItem & { readonly effect: string })[]> =>
  (await desk.client.get(who, `/v1/claims/${id}/clocks`)).json<{ items: (DueItem & { effect: string })[] }>().items;
const refusal = (answered: Answered): [number, string] => [answered.statusCode, codeOf(answered)];

/** A claim for missing electronics with its proposal: concealed damage is due on 2026-03-09, nine months to file. */
async function short(): Promise<ClaimView> {
  const inspectionId = await desk.inspected();
  return desk.proposed({ ground: 'shortage', returnReason: undefined, wish: undefined, inspectionId });
}

describe('the due list', () => {
  it('shows analysts what ends within so many days, soonest first, with its law and what its end means', async () => {
    const { id } = await short();
    const { analyst } = desk.home;
    expect((await due(analyst, '?within=7')).items).toEqual([]);
    const [soon] = (await due(analyst, '?within=8')).items;
    expect(soon).toEqual({
      claimId: id,
      number: (await desk.read(id)).number,
      clock: 'CLK-US-CONCEALED',
      occurrence: 1,
      title: 'Report concealed damage to the carrier',
      ground: 'Concealed damage after a clear receipt',
      source: 'National Motor Freight Classification, Item 300135 (Supplement 1 to NMF 100-AO)',
      owedBy: 'seller',
      lapse: 'burden shifts',
      effect:
        'No bar: after the last day the claim still stands, but the claimant must then prove what is presumed until then.',
      state: 'running',
      startedAt: '2026-03-02T08:20:00.000Z',
      lastDay: '2026-03-09',
      endsAt: '2026-03-10T04:00:00.000Z',
      warnings: 0,
      daysLeft: 7,
    });
    const all = (await due(analyst, '?within=400')).items;
    expect(all.map(({ clock }) => clock)).toEqual(['CLK-US-CONCEALED', 'CLK-US-FILING']);
    expect((await due(analyst, '?within=400&owedBy=carrier')).items).toEqual([]);
  });

  it('keeps what was missed in view until it is done', async () => {
    const { id } = await short();
    const { analyst } = desk.home;
    desk.test.clock.moveTo(Temporal.Instant.from('2026-03-11T04:00:00Z'));
    await desk
      .data()
      .rows('update session set expires_at = $1, last_seen_at = $2', ['2027-01-01', '2026-03-11T04:00:00Z']);
    await desk.test.app.get(ClockWatchService).sweep();
    const [missed] = (await due(analyst, '?within=0')).items;
    expect(missed).toMatchObject({
      claimId: id,
      state: 'missed',
      daysLeft: -1,
      missedAt: '2026-03-11T04:00:00.000Z',
    });
    desk.test.clock.moveTo(TEST_START);
  });

  it('goes page by page without losing or repeating a line', async () => {
    const { analyst } = desk.home;
    for (let n = 0; n < 3; n += 1) {
      const visitId = await desk.delivered();
      const { id } = await desk.proposed({ visitId }, desk.home.retailerPerson);
      await desk.acts(id, [analyst, 'happenings', { what: 'refund agreed' }]);
    }
    const whole = (await due(analyst, '?within=30')).items;
    expect(whole).toHaveLength(3);
    const walked: DueItem[] = [];
    for (let next: string | undefined = '/v1/due?within=30&limit=1'; next !== undefined;) {
      const answered: Answered = await desk.client.get(analyst, next);
      walked.push(...answered.json<DuePage>().items);
      next = /<([^>]+)>; rel="next"/.exec(String(answered.headers['link']))?.[1];
    }
    expect(walked).toEqual(whole);
    expect(refusal(await desk.client.get(analyst, '/v1/due?cursor=nonsense'))).toEqual([400, 'cursor-invalid']);
    expect(pointersOf(await desk.client.get(analyst, '/v1/due?within=-1&owedBy=nobody&colour=red'))).toEqual(
      expect.arrayContaining(['#/within', '#/owedBy', '#/colour']),
    );
  });

  it('shows retailers what they owe themselves on their own claims, and nothing else', async () => {
    const { id } = await short();
    await desk.acts(id, [desk.home.analyst, 'happenings', { what: 'carrier claim received' }]);
    const { retailerPerson, tenant } = desk.home;
    const desks = (await due(desk.home.analyst, '?within=400')).items;
    expect(new Set(desks.map(({ owedBy }) => owedBy))).toEqual(new Set(['seller', 'carrier']));
    const own = (await due(retailerPerson, '?within=400')).items;
    expect(own.map(({ clock }) => clock)).toEqual(['CLK-US-CONCEALED']);
    expect((await due(retailerPerson, '?within=400&owedBy=carrier')).items).toEqual([]);
    expect((await clocks(retailerPerson, id)).every(({ owedBy }) => owedBy === 'seller')).toBe(true);
    const other = await hand(
      desk.data(),
      tenant,
      ['retailer'],
      await company(desk.data(), tenant, 'retailer', 'other'),
    );
    expect((await due(other, '?within=400')).items).toEqual([]);
    expect(refusal(await desk.client.get(other, `/v1/claims/${id}/clocks`))).toEqual([404, 'not-found']);
    const key = await keyHand(desk.data(), desk.home, ['claims:read'], desk.home.retailer);
    expect((await due(key, '?within=400')).items).toEqual(own);
  });

  it('is closed to crews and policy owners, and to other tenants', async () => {
    const { id } = await short();
    for (const who of [desk.crew, desk.home.owner]) {
      expect(refusal(await desk.client.get(who, '/v1/due'))).toEqual([403, 'not-allowed']);
    }
    const stranger = await house(desk.data());
    await stock(desk.test, stranger);
    expect((await due(stranger.analyst, '?within=400')).items).toEqual([]);
    expect(refusal(await desk.client.get(stranger.analyst, `/v1/claims/${id}/clocks`))).toEqual([404, 'not-found']);
  });
});

describe('what happened outside the claim', () => {
  it('starts, stops and lengthens clocks, and stands in the event trail', async () => {
    const { analyst } = desk.home;
    const { id } = await short();
    const noted = { what: 'carrier claim received', at: '2026-03-02T03:59:00-05:00', words: 'By e-mail, ref 77.' };
    const { version } = await desk.read(id);
    expect(await desk.acts(id, [analyst, 'happenings', noted])).toMatchObject({ version: version + 1 });
    const stands = await clocks(analyst, id);
    const of = (clock: string): DueItem | undefined => stands.find((each) => each.clock === clock);
    expect(of('CLK-US-FILING')).toMatchObject({ state: 'met', stoppedAt: '2026-03-02T08:59:00.000Z' });
    expect(of('CLK-US-DISPOSE')).toMatchObject({ state: 'running', occurrence: 1, endsAt: '2026-07-01T04:00:00.000Z' });
    expect((await desk.events(id)).at(-1)).toMatchObject({
      kind: 'happening-noted',
      body: { what: 'carrier claim received', at: '2026-03-02T08:59:00.000Z', words: 'By e-mail, ref 77.' },
    });
    await desk.acts(id, [analyst, 'happenings', { what: 'carrier disallowed' }]);
    expect((await clocks(analyst, id)).find(({ clock }) => clock === 'CLK-US-SUIT')).toMatchObject({
      state: 'running',
      lastDay: '2028-03-02',
    });
  });

  it('is known to the next assessment', async () => {
    const { analyst } = desk.home;
    const { id } = await short();
    await desk.acts(
      id,
      [analyst, 'happenings', { what: 'carrier claim received' }],
      [analyst, 'happenings', { what: 'carrier status letter' }],
      [analyst, 'assessments', { words: 'Once more.' }],
    );
    await desk.assess();
    const facts = await desk
      .data()
      .rows<{ facts: { events: object; statusLetters?: string[] } }>(
        `select facts from claim_assessment where claim_id = $1 and facts ? 'statusLetters'`,
        [id],
      );
    expect(facts).toMatchObject([
      {
        facts: {
          events: { 'carrier claim received': '2026-03-02T09:00:00.000Z' },
          statusLetters: ['2026-03-02T09:00:00.000Z'],
        },
      },
    ]);
  });

  it('is refused in the future, unheard of, by others than analysts, on drafts, and at another version', async () => {
    const { analyst, retailerPerson } = desk.home;
    const body = { what: 'refund agreed' };
    const draft = await desk.filed({ file: false });
    expect(refusal(await desk.act(analyst, draft.id, 'happenings', body))).toEqual([409, 'claim-state-forbids']);
    await desk.acts(draft.id, [analyst, 'withdrawal', { reason: 'Not needed.' }]);
    expect(refusal(await desk.act(analyst, draft.id, 'happenings', body))).toEqual([409, 'claim-withdrawn']);
    const { id } = await short();
    const future = await desk.act(analyst, id, 'happenings', { ...body, at: '2026-04-01T00:00:00Z' });
    expect([future.statusCode, pointersOf(future)]).toEqual([400, ['#/at']]);
    expect(pointersOf(await desk.act(analyst, id, 'happenings', { what: 'delivered' }))).toEqual(['#/what']);
    expect(refusal(await desk.act(retailerPerson, id, 'happenings', body))).toEqual([403, 'not-allowed']);
    expect(refusal(await desk.actAt(analyst, id, 'happenings', '"v1"', body))).toEqual([412, 'version-changed']);
    expect(refusal(await desk.act(analyst, randomUUID(), 'happenings', body))).toEqual([404, 'not-found']);
  });
});

describe('the case against the carrier', () => {
  it('stands in the dossier with what would mend it, and follows facts that come later', async () => {
    const { analyst } = desk.home;
    const { id } = await short();
    const cases = async (): Promise<
      { notice: string; elements: { id: string; state: string; mend: string | null }[] }[]
    > =>
      (await desk.client.get(analyst, `/v1/claims/${id}/dossier`)).json<{ assessment: { elements: never[] } }>()
        .assessment.elements;
    const [before] = await cases();
    expect(before).toMatchObject({ notice: 'not given yet' });
    expect(before?.elements.find((each) => each.id === 'notice')?.mend).toContain('by 2026-03-09');
    const facts = { noticeToCarrierAt: '2026-03-02T08:50:00Z', noticeInWriting: false, inspectionRequested: true };
    await desk.acts(id, [analyst, 'assessments', { words: 'We called them.', facts }]);
    await desk.assess();
    const [after] = await cases();
    expect(after?.notice).toBe('incomplete');
    expect(after?.elements.find((each) => each.id === 'notice in writing')).toMatchObject({ state: 'contradicted' });
    expect(after?.elements.find((each) => each.id === 'inspection requested')).toMatchObject({ state: 'met' });
  });
});

describe('holidays of a house', () => {
  const send = (who: Hand, method: 'PUT' | 'DELETE', url: string, payload?: object): Promise<Answered> =>
    desk.client.send(who, { method, url, ...(payload && { payload }) });
  interface Year {
    readonly known: boolean;
    readonly days: readonly { readonly on: string; readonly holiday: boolean; readonly from: string }[];
  }
  const year = async (place: string, of = 2026, who = desk.home.analyst): Promise<Year> =>
    (await desk.client.get(who, `/v1/holidays/${place}?year=${of}`)).json<Year>();

  it('lie over the tables day by day, with who said so and why, and can be taken back', async () => {
    const { administrator } = desk.home;
    const before = await year('US');
    expect(before.days).toContainEqual({ on: '2026-07-03', holiday: true, from: 'table' });
    const url = '/v1/holidays/US/days/2026-07-03';
    const body = { holiday: false, reason: 'We work that Friday.' };
    expect((await send(administrator, 'PUT', url, body)).statusCode).toBe(204);
    expect((await send(administrator, 'PUT', url, { ...body, reason: 'We work on 3 July.' })).statusCode).toBe(204);
    const after = await year('US');
    expect(after.days).toContainEqual(
      expect.objectContaining({ on: '2026-07-03', holiday: false, from: 'house', reason: 'We work on 3 July.' }),
    );
    expect(await year('US-OH')).toMatchObject({ days: after.days });
    expect((await send(administrator, 'DELETE', url)).statusCode).toBe(204);
    expect(await year('US')).toEqual(before);
    expect(refusal(await send(administrator, 'DELETE', url))).toEqual([404, 'not-found']);
  });

  it('make a place countable that the tables do not know', async () => {
    const { administrator } = desk.home;
    expect((await year('ZZ')).known).toBe(false);
    await send(administrator, 'PUT', '/v1/holidays/ZZ/days/2026-03-05', { holiday: true, reason: 'Founders day.' });
    expect((await year('ZZ')).known).toBe(false);
    const whole = await send(administrator, 'PUT', '/v1/holidays/ZZ/years/2026', {
      reason: 'From the official gazette.',
    });
    expect(whole.statusCode).toBe(204);
    expect(await year('ZZ')).toMatchObject({ known: true, days: [{ on: '2026-03-05', holiday: true, from: 'house' }] });
    expect((await year('ZZ', 2027)).known).toBe(false);
    expect((await send(administrator, 'DELETE', '/v1/holidays/ZZ/years/2026')).statusCode).toBe(204);
    expect((await year('ZZ')).known).toBe(false);
  });

  it('are set by administrators alone, for this house alone, and only where there is such a day', async () => {
    const { administrator, analyst, owner } = desk.home;
    const url = '/v1/holidays/DE-BY/days/2026-03-05';
    const body = { holiday: true, reason: 'Works holiday.' };
    for (const who of [analyst, owner, desk.crew]) {
      expect(refusal(await send(who, 'PUT', url, body))).toEqual([403, 'not-allowed']);
      expect(refusal(await send(who, 'DELETE', url))).toEqual([403, 'not-allowed']);
    }
    expect((await send(administrator, 'PUT', url, body)).statusCode).toBe(204);
    const on = ({ days }: Year): boolean => days.some((day) => day.on === '2026-03-05');
    expect([on(await year('DE-BY')), on(await year('DE')), on(await year('DE-BE'))]).toEqual([true, false, false]);
    const stranger = await house(desk.data());
    expect(on(await year('DE-BY', 2026, stranger.analyst))).toBe(false);
    for (const wrong of ['DE/days/2026-02-30', 'Germany/days/2026-03-05', 'DE/days/tomorrow', 'DE/years/26']) {
      expect(refusal(await send(administrator, 'PUT', `/v1/holidays/${wrong}`, body)), `put ${wrong}`).toEqual(
        wrong.includes('years') ? [400, 'invalid-request'] : [404, 'not-found'],
      );
    }
    expect(pointersOf(await send(administrator, 'PUT', url, { holiday: 'yes', reason: '' }))).toEqual([
      '#/holiday',
      '#/reason',
    ]);
  });
});
