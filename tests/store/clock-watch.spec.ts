import { randomUUID } from 'node:crypto';
import { afterEach, describe, expect, it } from 'vitest';
import { ClaimHappeningsService } from '../../src/claims/claim-happenings.service.js';
import { ClockWatchService } from '../../src/claims/clock-watch.service.js';
import { Database } from '../../src/platform/db/database.js';
import { Jobs } from '../../src/platform/jobs/jobs.js';
import { claimDesk, claimsApp, type ClaimView } from '../support/claims.js';
import { TEST_START } from '../support/test-app.js';

/**
 * The unit was delivered on Monday 2026-03-02 in Ohio after a clean receipt. Concealed damage is reported in five business days (National
 * Motor Freight Classification, Item 300135): the last day is Monday 9 March, and New York's clocks go forward on the 8th.
 */
const CONCEALED = 'CLK-US-CONCEALED';
const WARNING = '2026-03-08T05:00:00.000Z';
const END = '2026-03-10T04:00:00.000Z';

const desk = claimDesk();
type App = Awaited<ReturnType<typeof claimsApp>>;
const others: App[] = [];

const at = (text: string): Temporal.Instant => Temporal.Instant.from(text);
async function another(runs: 'api' | 'worker', now: string): Promise<App> {
  const app = await claimsApp(desk.data(), { env: { AS_NOTED_RUNS: runs } });
  others.push(app);
  app.clock.moveTo(at(now));
  return app;
}
const moveTo = (...instants: readonly string[]): void => {
  for (const instant of instants) for (const app of [desk.test, ...others]) app.clock.moveTo(at(instant));
};
afterEach(async () => {
  for (const app of others.splice(0)) await app.close();
  desk.test.clock.moveTo(TEST_START);
});

const watchOf = (app: { app: App['app'] }): ClockWatchService => app.app.get(ClockWatchService);
const sweep = (): Promise<void> => watchOf(desk.test).sweep();

/** A claim that electronics were missing, with its proposal; nobody told the carrier yet. */
async function short(over: object = {}): Promise<ClaimView> {
  const inspectionId = await desk.inspected();
  return desk.proposed({ ground: 'shortage', returnReason: undefined, wish: undefined, inspectionId, ...over });
}

interface ClockAsStored {
  readonly state: string;
  readonly ends: string | null;
  readonly next: string | null;
  readonly warned: number;
  readonly missed: string | null;
}
async function clockOf(claim: string, clock = CONCEALED): Promise<ClockAsStored | undefined> {
  const iso = (column: string): string => `to_char(${column} at time zone 'UTC', 'YYYY-MM-DD"T"HH24:MI:SS.MS"Z"')`;
  const [row] = await desk.data().rows<ClockAsStored & object>(
    `select state, ${iso('ends_at')} as ends, ${iso('next_at')} as next, cardinality(warned_at) as warned, ${iso('missed_at')} as missed
     from claim_clock where claim_id = $1 and clock_id = $2`,
    [claim, clock],
  );
  return row;
}
/** The nearest running clock of any kind as the desk's list has it, and by when the retailer may expect something. */
async function duesOf(claim: string): Promise<{ due: string | null | undefined; promised: string | null | undefined }> {
  const list = await desk.client.get(desk.home.analyst, '/v1/claims');
  const line = list
    .json<{ items: { id: string; dueAt: string | null; standing: { by: string | null } }[] }>()
    .items.find(({ id }) => id === claim);
  expect((await desk.read(claim)).standing.by).toBe(line?.standing.by);
  return { due: line?.dueAt, promised: line?.standing.by };
}

async function raised(claim: string, clock = CONCEALED): Promise<string[]> {
  await desk.kinds(claim);
  return (await desk.events(claim))
    .filter(({ kind, body }) => kind.startsWith('clock-') && body['clock'] === clock)
    .map(({ kind }) => kind);
}

describe('the clocks of a claim', () => {
  it('are written with its assessment, one row for each, and say when to look next', async () => {
    const { id } = await short();
    expect(await clockOf(id)).toEqual({ state: 'running', ends: END, next: WARNING, warned: 0, missed: null });
    expect(await clockOf(id, 'CLK-US-FIRST-LOOK')).toMatchObject({ state: 'met', next: null });
    expect(await clockOf(id, 'CLK-US-SUIT')).toMatchObject({ state: 'not started', ends: null, next: null });
    const [count] = await desk
      .data()
      .rows<{ rows: string; kinds: string }>(
        'select count(*) as rows, count(distinct clock_id) as kinds from claim_clock where claim_id = $1',
        [id],
      );
    expect(count?.rows).toBe(count?.kinds);
  });

  it('are not doubled by another assessment', async () => {
    const { id } = await short();
    const before = await desk.data().rows('select clock_id from claim_clock where claim_id = $1', [id]);
    await desk.acts(id, [desk.home.analyst, 'assessments', { words: 'Look again, please.' }]);
    await desk.assess();
    const after = await desk.data().rows('select clock_id from claim_clock where claim_id = $1', [id]);
    expect(after).toHaveLength(before.length);
    const [row] = await desk
      .data()
      .rows<{ id: string; tenant_id: string }>('select id, tenant_id from claim_clock limit 1');
    const twice = desk.data().rows(
      `insert into claim_clock select gen_random_uuid(), tenant_id, claim_id, clock_id, occurrence, title, ground, source, owed_by, lapse,
         effect, state, started_at, paused_at, stopped_at, last_day, ends_at, warns_at, warned_at, missed_at, next_at, updated_at
       from claim_clock where id = $1`,
      [row?.id],
    );
    await expect(twice).rejects.toThrow('claim_clock_claim_id_clock_id_occurrence_key');
  });

  it('follow what happens to the claim, and the nearest due date with them', async () => {
    const { analyst } = desk.home;
    const { id, version } = await short();
    expect(await duesOf(id)).toEqual({ due: END, promised: null });
    const told = { words: 'They were told on the phone.', facts: { noticeToCarrierAt: '2026-03-02T08:50:00Z' } };
    await desk.acts(id, [analyst, 'assessments', told]);
    await desk.assess();
    expect(await clockOf(id)).toMatchObject({ state: 'met', next: null });
    const filing = await desk.read(id);
    expect(await duesOf(id)).toEqual({ due: '2026-12-03T05:00:00.000Z', promised: null });
    expect(filing.version).toBeGreaterThan(version);
    await desk.acts(id, [analyst, 'happenings', { what: 'carrier claim received', at: '2026-03-02T08:55:00Z' }]);
    expect(await clockOf(id, 'CLK-US-FILING')).toMatchObject({ state: 'met' });
    expect(await clockOf(id, 'CLK-US-ACKNOWLEDGE')).toMatchObject({
      state: 'running',
      ends: '2026-04-02T04:00:00.000Z',
    });
    expect(await duesOf(id)).toEqual({ due: '2026-04-02T04:00:00.000Z', promised: null });
    // Seven working days from Monday 2 March, 16 CFR 435.1(b)(1): through Wednesday 11 March, in New York four hours behind by then.
    await desk.acts(id, [analyst, 'happenings', { what: 'refund agreed', at: '2026-03-02T08:56:00Z' }]);
    const refund = (await clockOf(id, 'CLK-US-REFUND'))?.ends;
    expect(refund).toBe('2026-03-12T04:00:00.000Z');
    expect(await duesOf(id)).toEqual({ due: refund, promised: refund });
  });

  it('follow what another part of the house notes, in its own transaction or not at all', async () => {
    const { id, version } = await short();
    const { tenant } = desk.home;
    const noted = {
      what: 'carrier claim received',
      at: '2026-03-02T08:58:00.000Z',
      words: null,
      by: { kind: 'service', id: 'as-noted', name: 'As Noted' },
    } as const;
    const happenings = desk.test.app.get(ClaimHappeningsService);
    const db = desk.test.app.get(Database);
    const undone = db.inTenant({ tenant }, async (tx) => {
      await happenings.happened(tx, tenant, id, noted);
      throw new Error('changed my mind');
    });
    await expect(undone).rejects.toThrow('changed my mind');
    expect(await clockOf(id, 'CLK-US-DISPOSE')).toMatchObject({ state: 'not started' });
    await db.inTenant({ tenant }, (tx) => happenings.happened(tx, tenant, id, noted));
    expect(await clockOf(id, 'CLK-US-DISPOSE')).toMatchObject({ state: 'running', ends: '2026-07-01T04:00:00.000Z' });
    expect((await desk.kinds(id)).at(-1)).toBe('happening-noted');
    expect((await desk.read(id)).version).toBe(version);
  });

  it('end with a claim that is withdrawn, and raise nothing any more', async () => {
    const { id } = await short();
    await desk.acts(id, [desk.home.analyst, 'withdrawal', { reason: 'It turned up.' }]);
    await desk.assess();
    expect(await clockOf(id)).toMatchObject({ state: 'ended', next: null });
    moveTo('2026-03-20T12:00:00Z');
    await sweep();
    expect(await clockOf(id)).toMatchObject({ state: 'ended', next: null });
    expect(await raised(id)).toEqual([]);
  });
});

describe('the watch', () => {
  it('raises a warning and then a miss, each once, at its time and not before', async () => {
    const { id } = await short();
    moveTo('2026-03-08T04:59:59Z');
    await sweep();
    expect(await raised(id)).toEqual([]);
    moveTo(WARNING);
    await sweep();
    await sweep();
    expect(await raised(id)).toEqual(['clock-warned']);
    expect(await clockOf(id)).toMatchObject({ state: 'running', warned: 1, next: END });
    moveTo('2026-03-10T03:59:59.999Z');
    await sweep();
    expect(await raised(id)).toEqual(['clock-warned']);
    moveTo(END);
    await sweep();
    await sweep();
    expect(await raised(id)).toEqual(['clock-warned', 'clock-missed']);
    expect(await clockOf(id)).toMatchObject({ state: 'missed', missed: END, next: null });
    const event = (await desk.events(id)).findLast(({ kind }) => kind === 'clock-missed');
    expect(event).toMatchObject({
      at: END,
      actor: { kind: 'service', id: 'as-noted' },
      body: {
        clock: CONCEALED,
        occurrence: 1,
        owedBy: 'seller',
        lapse: 'burden shifts',
        lastDay: '2026-03-09',
        endsAt: END,
      },
    });
    expect(event?.body['effect']).toContain('Late, not barred');
  });

  it('raises nothing twice when two of the house look at the same moment, again and again', async () => {
    const ids: string[] = [(await short()).id];
    for (let n = 0; n < 4; n += 1) {
      const visitId = await desk.delivered();
      ids.push((await desk.proposed({ visitId }, desk.home.retailerPerson)).id);
    }
    const refunds = ids.slice(1);
    for (const id of refunds) await desk.acts(id, [desk.home.analyst, 'happenings', { what: 'refund agreed' }]);
    const second = await another('api', TEST_START.toString());
    const [one, two] = [watchOf(desk.test), watchOf(second)];
    for (const moment of [WARNING, END, '2026-03-20T12:00:00Z']) {
      moveTo(moment);
      await Promise.all([one, two, one, two, one, two].map((watch) => watch.sweep()));
    }
    expect(await raised(ids[0] ?? '')).toEqual(['clock-warned', 'clock-missed']);
    for (const id of refunds) expect(await raised(id, 'CLK-US-REFUND')).toEqual(['clock-warned', 'clock-missed']);
  });

  it('makes up for what nobody saw: one warning for all that went by, or the miss alone', async () => {
    const { id } = await short();
    await desk.acts(id, [desk.home.analyst, 'happenings', { what: 'carrier claim received' }]);
    // Filed nine months ahead: warnings 60, 30 and 7 days before. Acknowledgment in 30 days: warnings 3 and 1 days before.
    moveTo('2026-04-01T12:00:00Z');
    await sweep();
    expect(await raised(id, 'CLK-US-ACKNOWLEDGE')).toEqual(['clock-warned']);
    expect(await clockOf(id, 'CLK-US-ACKNOWLEDGE')).toMatchObject({ warned: 2 });
    expect(await raised(id)).toEqual(['clock-missed']);
  });

  it('says what was late all the same, but not that somebody still has to do it', async () => {
    const { id } = await short();
    moveTo('2026-03-12T12:00:00Z');
    await desk.data().rows('update session set expires_at = $1', ['2027-01-01T00:00:00Z']);
    await desk.data().rows('update session set last_seen_at = $1', ['2026-03-12T12:00:00Z']);
    await desk.acts(id, [
      desk.home.analyst,
      'assessments',
      { words: 'Told now.', facts: { noticeToCarrierAt: '2026-03-11T12:00:00Z' } },
    ]);
    await desk.assess();
    expect(await clockOf(id)).toMatchObject({ state: 'missed', missed: null });
    await sweep();
    expect(await raised(id)).toEqual(['clock-missed']);
    const due = await desk.client.get(desk.home.analyst, '/v1/due?within=1');
    expect(due.json<{ items: { clock: string }[] }>().items.filter(({ clock }) => clock === CONCEALED)).toEqual([]);
  });

  it(
    'goes on after a restart: what waits is in the database, and is raised by whoever comes next, once',
    { timeout: 170_000 },
    async () => {
      const { id } = await short();
      const first = await another('worker', TEST_START.toString());
      await expect.poll(() => watches(), { timeout: 50_000, interval: 50 }).toEqual({ created: 1, completed: 1 });
      await others.splice(0)[0]?.close();
      expect(first.app.get(Jobs).running).toBe(false);
      expect(await watches()).toEqual({ created: 1, completed: 1 });
      await desk
        .data()
        .rows(`update pgboss.job set start_after = now() where name = 'watch-clocks' and state = 'created'`);
      await another('worker', END);
      await another('worker', END);
      await expect.poll(() => raised(id), { timeout: 50_000, interval: 100 }).toEqual(['clock-missed']);
      // Whichever of the two did it left the next look there, and only one of those waits.
      // On a busy machine the second worker may come when the first has looked already, and then looks once more.
      await expect.poll(async () => (await watches()).created, { timeout: 50_000, interval: 50 }).toBe(1);
      expect((await watches()).completed).toBeGreaterThanOrEqual(2);
      const [next] = await desk
        .data()
        .rows<{ seconds: string }>(
          `select extract(epoch from start_after - now()) as seconds from pgboss.job where name = 'watch-clocks' and state = 'created'`,
        );
      expect(Number(next?.seconds)).toBeLessThan(30);
      await Promise.all(others.map((app) => watchOf(app).sweep()));
      expect(await raised(id)).toEqual(['clock-missed']);
    },
  );

  it('is not held up by a claim whose policy is gone', async () => {
    const { id } = await short();
    await desk.settle();
    const other = (await short()).id;
    // Published versions never change; only somebody with the owner's hands could take one away.
    const [row] = await desk.data().rows<{ tenant_id: string }>('select tenant_id from claim where id = $1', [id]);
    await desk
      .data()
      .rows(
        `begin; set local session_replication_role = replica; delete from policy_version where tenant_id = '${row?.tenant_id}'; commit`,
      );
    moveTo(END);
    await desk.test.app.get(ClockWatchService).sweep();
    expect(await raised(other)).toEqual(['clock-missed']);
    expect(await raised(id)).toEqual([]);
    expect(await clockOf(id)).toMatchObject({ next: '2026-03-10T04:10:00.000Z' });
    expect(desk.test.lines.some(({ msg }) => String(msg).includes('could not be looked at'))).toBe(true);
  });

  it('counts anew when the house changes its holidays', async () => {
    const { id } = await short();
    const put = await desk.client.send(desk.home.administrator, {
      method: 'PUT',
      url: '/v1/holidays/US/days/2026-03-05',
      payload: { holiday: true, reason: 'The works are shut.' },
    });
    expect(put.statusCode, `answered: ${put.body}`).toBe(204);
    await desk.assess();
    await sweep();
    expect(await clockOf(id)).toMatchObject({ state: 'running', ends: '2026-03-11T04:00:00.000Z' });
    expect(await raised(id)).toEqual([]);
  });

  it('sees across tenants only that a clock wants a look, and nobody else sees even that', async () => {
    const { id } = await short();
    const db = desk.test.app.get(Database);
    const seen = (credential: string): Promise<unknown[]> =>
      db.byCredential(credential, (tx) => tx.query('select claim_id from claim_clock'));
    const wanting = await desk.data().rows('select 1 from claim_clock where next_at is not null');
    expect(await seen('watch:clocks')).toHaveLength(wanting.length);
    expect(await seen('p1@example.test')).toEqual([]);
    expect(await db.outside((tx) => tx.query('select claim_id from claim_clock'))).toEqual([]);
    expect(await db.byCredential('watch:clocks', (tx) => tx.query('select id from claim'))).toEqual([]);
    const stranger = await db.inTenant({ tenant: randomUUID() }, (tx) => tx.query('select id from claim_clock'));
    expect(stranger).toEqual([]);
    const tried = db.byCredential('watch:clocks', (tx) =>
      tx.query('update claim_clock set state = $1 returning id', ['ended']),
    );
    expect(await tried).toEqual([[], 0]);
    expect(await clockOf(id)).toMatchObject({ state: 'running' });
  });
});

/** How many jobs of the watch there are, by state. */
async function watches(): Promise<Record<string, number>> {
  const rows = await desk
    .data()
    .rows<{ state: string; count: string }>(
      `select state, count(*) from pgboss.job where name = 'watch-clocks' group by state`,
    );
  return Object.fromEntries(rows.map(({ state, count }) => [state, Number(count)]));
}
