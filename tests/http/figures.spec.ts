import { randomUUID } from 'node:crypto';
import { afterAll, beforeAll, beforeEach, describe, expect, it } from 'vitest';
import type { Figures } from '../../src/insight/insight.contract.js';
import { InsightModule } from '../../src/insight/insight.module.js';
import { ClaimDesk, claimsApp, SMALL_PRICE } from '../support/claims.js';
import { actsOn, BENT_FRAME, decidedBentFrame, recoveryOn } from '../support/recoveries.js';
import { codeOf, hand, house, pointersOf, type Hand } from '../support/resources.js';
import { freshDatabase } from '../support/test-database.js';
import { TEST_START } from '../support/test-app.js';

// Every figure is compared with what follows by hand from the acts of its test.

const desk = new ClaimDesk(freshDatabase());
beforeAll(async () => {
  desk.test = await claimsApp(desk.data(), { modules: [InsightModule] });
});
afterAll(() => desk.test.close());
beforeEach(async () => {
  desk.test.clock.moveTo(TEST_START);
  await desk.settle();
});

async function figures(query = '', who: Hand = desk.home.analyst): Promise<Figures> {
  const answered = await desk.client.get(who, `/v1/figures${query}`);
  expect(answered.statusCode, answered.body).toBe(200);
  return answered.json<Figures>();
}

/** A proposed return of a visit of its own, filed by the retailer at the moment. @returns its id */
async function proposedReturn(): Promise<string> {
  const visitId = await desk.delivered(SMALL_PRICE);
  return (await desk.proposed({ visitId }, desk.home.retailerPerson)).id;
}

/** Lets hours pass since the claims were filed; sessions last through them. */
async function at(hours: number): Promise<void> {
  const now = TEST_START.add({ hours });
  desk.test.clock.moveTo(now);
  await desk
    .data()
    .rows('update session set last_seen_at = $1, expires_at = $2', [now.toString(), now.add({ hours: 8 }).toString()]);
}

const DECLINE = { outcome: 'declined', reason: 'goodwill', words: 'The seal of the carton was whole.' } as const;

describe('figures', () => {
  it('count outcomes, times and ages as the acts were', async () => {
    const { analyst } = desk.home;
    const [first, second, third] = [await proposedReturn(), await proposedReturn(), await proposedReturn()];
    await proposedReturn();
    await at(1);
    await desk.acts(second, [analyst, 'questions', { of: 'retailer', asked: 'Is the carton still sealed?' }]);
    await at(2);
    await desk.acts(first, [analyst, 'decisions', { outcome: 'approved' }]);
    await at(9);
    await desk.acts(second, [desk.home.retailerPerson, 'information', { words: 'It is.' }]);
    await desk.assess();
    await at(10);
    await desk.acts(second, [analyst, 'decisions', DECLINE]);
    await at(20);
    await desk.acts(third, [analyst, 'decisions', { outcome: 'approved' }]);
    await at(24 * 8);
    const found = await figures();
    expect(found.wish).toEqual({ from: '2025-03-11', until: '2026-03-10' });
    expect(found.decided).toEqual([
      { outcome: 'approved', ground: 'return', count: 2 },
      { outcome: 'declined', ground: 'return', count: 1 },
    ]);
    // Decided after 2, 10 and 20 hours: the median is 10, and nine in ten lie four fifths of the way from 10 to 20 (linear between ranks).
    expect(found.times.decision).toEqual({ count: 3, medianHours: 10, ninetiethHours: 18, waiting: 1 });
    // Looked at after 1 (the question), 2 and 20 hours: nine in ten lie at 2 + 0.8 · 18.
    expect(found.times.firstLook).toMatchObject({ count: 3, medianHours: 2, waiting: 1 });
    expect(found.times.firstLook.ninetiethHours).toBeCloseTo(16.4, 9);
    expect(found.times.byMonth).toEqual([{ month: '2026-03', count: 3, medianHours: 10, ninetiethHours: 18 }]);
    expect(found.open).toEqual([{ band: '7 to 13 days', state: 'proposed', count: 1 }]);
    // One of three decisions departed from what was proposed, and each of them rested on the same rules.
    expect(found.overrides.length).toBeGreaterThan(0);
    for (const { count, of, low, high } of found.overrides) {
      expect([count, of]).toEqual([1, 3]);
      expect([low, high]).toEqual([expect.closeTo(0.0615, 4), expect.closeTo(0.7923, 4)]);
    }
  });

  it('count what was broken by maker and month, and what each check told', async () => {
    await decidedBentFrame(desk);
    const found = await figures('?from=2026-03-01&until=2026-03-31');
    const [row] = await desk.data().rows<{ maker: string; findings: { leading: { component: string } }[] }>(
      `select m.maker, a.assessment -> 'findings' as findings from claim_assessment a, model m
       where m.sku = a.facts #>> '{unit,sku}' and m.tenant_id = a.tenant_id`,
    );
    const parts = (row?.findings ?? []).map(({ leading }) => leading.component).sort();
    expect(parts).toEqual(['carton', 'frame']);
    expect(found.classes).toEqual(
      parts.map((component) => ({ maker: row?.maker, month: '2026-03', component, count: 1 })),
    );
    const bent = found.checks.find(({ observation }) => observation === 'frame-bent');
    expect(bent).toMatchObject({ model: 'bed-base', present: 1, of: 1, notChecked: 0 });
    expect(bent?.count).toBe((bent?.meanDecibans ?? 0) >= 3 ? 1 : 0);
    expect(await figures('?from=2026-03-01&until=2026-03-31&maker=Nobody%20Such')).toMatchObject({
      decided: [],
      classes: [],
      checks: [],
      money: [],
    });
    expect((await figures('?until=2026-02-28')).classes).toEqual([]);
    expect((await figures(`?retailer=${randomUUID()}`)).classes).toEqual([]);
    expect((await figures(`?retailer=${desk.home.retailer}`)).classes).toHaveLength(2);
  });

  it('say of money what was asked for, came back and is owed', async () => {
    const claim = await decidedBentFrame(desk);
    const money = async () => (await figures()).money;
    const line = { party: 'carrier', currency: 'USD', demands: 1, recoveredMinor: 0, writtenOffMinor: 0 };
    expect(await money()).toEqual([{ ...line, notSentMinor: BENT_FRAME, sentMinor: 0, owedMinor: 0 }]);
    await desk
      .data()
      .rows(
        `update recovery set booked_minor = demanded_minor, state = 'sent', sent_at = created_at where claim_id = $1`,
        [claim],
      );
    expect(await money()).toEqual([{ ...line, notSentMinor: 0, sentMinor: BENT_FRAME, owedMinor: BENT_FRAME }]);
    const { id } = await recoveryOn(desk, claim, 'carrier');
    await actsOn(desk, id, ['payments', { amountMinor: 9100, currency: 'USD', reference: 'PAY-1' }]);
    expect(await money()).toEqual([
      { ...line, notSentMinor: 0, sentMinor: BENT_FRAME, recoveredMinor: 9100, owedMinor: BENT_FRAME - 9100 },
    ]);
  });

  it('are of one house only, for its own people', async () => {
    await decidedBentFrame(desk);
    const other = await house(desk.data());
    expect(await figures('', other.analyst)).toMatchObject({ decided: [], open: [], classes: [], checks: [] });
    const owner = await hand(desk.data(), desk.home.tenant, ['policy owner']);
    expect((await figures('', owner)).decided).toHaveLength(1);
    for (const who of [desk.home.retailerPerson, desk.crew]) {
      expect((await desk.client.get(who, '/v1/figures')).statusCode).toBe(403);
    }
  });

  it('refuse days that make no stretch, with what is wrong', async () => {
    const refused = async (query: string) => {
      const answered = await desk.client.get(desk.home.analyst, `/v1/figures?${query}`);
      return [answered.statusCode, codeOf(answered), pointersOf(answered)];
    };
    expect(await refused('from=2026-03-02&until=2026-03-01')).toEqual([400, 'invalid-request', ['#/from']]);
    expect(await refused('from=2000-01-01')).toEqual([400, 'invalid-request', ['#/from']]);
    expect(await refused('from=2026-02-30')).toEqual([400, 'invalid-request', ['#/from']]);
    expect(await refused('retailer=pellow')).toEqual([400, 'invalid-request', ['#/retailer']]);
  });
});
