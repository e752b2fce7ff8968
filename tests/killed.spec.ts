import { randomUUID } from 'node:crypto';
import pg from 'pg';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { ALL_MIGRATIONS } from '../migrations/all.js';
import { verifyChain } from '../src/claims/claims.contract.js';
import { parseClaimNumber } from '../src/kernel/claim-number.js';
import { prepareDatabase } from '../src/platform/db/prepare-database.js';
import type { PrivateServer } from '../src/platform/postgres/private-server.js';
import { cleanUpAfterAll, freshState, serverPid, start, waitUntilEnded } from './postgres/state-folders.js';
import { chainOf, ClaimDesk, claimsApp } from './support/claims.js';
import { keyHand, type Hand } from './support/resources.js';
import { endServices, startService, type ServiceProcess } from './support/service-process.js';
import type { TestDatabase } from './support/test-database.js';

/**
 * What a sudden end leaves behind: claims are filed over HTTP as fast as they are acknowledged, then the built service is killed in the
 * middle (and in another round the database server with it, with its settings as in daily use: every commit reaches the disk). Three
 * starts of the service and one recovery of the database take most of this file's time.
 */

/** Claims under way at any moment. */
const SIDE_BY_SIDE = 6;
/** How many must be acknowledged before the blow falls. */
const BEFORE_THE_BLOW = 25;
const UNITS_A_VISIT = 50;

interface Filing {
  readonly key: string;
  readonly body: { readonly id: string; readonly visitId: string; readonly serial: string };
}

cleanUpAfterAll();
afterAll(endServices);

const options = freshState({ settings: {} });
let server: PrivateServer;
let service: ServiceProcess;
let pool: pg.Pool;
let key: Hand;
const filings: Filing[] = [];
const tried: Filing[] = [];
const acknowledged = new Map<string, string>();

const rows = async <Row extends pg.QueryResultRow>(sql: string, parameters: readonly unknown[] = []): Promise<Row[]> =>
  (await pool.query<Row>(sql, [...parameters])).rows;

/** Seeds a house with visits through the service's own routes, and writes down a filing for each unit. */
async function seed(): Promise<void> {
  const database: TestDatabase = { url: server.url, version: server.version, empty: () => Promise.resolve(), rows };
  const desk = new ClaimDesk(() => database);
  desk.test = await claimsApp(database);
  await desk.settle();
  for (let visit = 0; visit < 4; visit += 1) {
    const serials = Array.from({ length: UNITS_A_VISIT }, (_, n) => `DR7K${300_000 + visit * 1000 + n}`);
    const units = serials.map((serial) => ({ sku: 'OST-DRIFT-Q-US', serial }));
    const visitId = await desk.delivered(30_000, { units });
    for (const serial of serials) filings.push({ key: randomUUID(), body: { id: randomUUID(), visitId, serial } });
  }
  key = await keyHand(database, desk.home, ['claims:read', 'claims:write'], desk.home.retailer);
  await desk.test.close();
}

async function post({ key: idempotencyKey, body }: Filing): Promise<Response> {
  return fetch(`${service.url}/v1/claims`, {
    method: 'POST',
    headers: { ...key.headers, 'content-type': 'application/json', 'idempotency-key': `"${idempotencyKey}"` },
    body: JSON.stringify({ ...body, ground: 'return', returnReason: 'change of mind', file: true }),
  });
}

/** Files claims side by side until the blow; what was answered with 201 by then is written down with its number. */
async function fileUntil(blow: () => Promise<void>): Promise<number> {
  const before = acknowledged.size;
  let fallen: Promise<void> | undefined;
  const worker = async (): Promise<void> => {
    for (let filing = filings.shift(); filing !== undefined && fallen === undefined; filing = filings.shift()) {
      tried.push(filing);
      const answer = await post(filing).catch(() => undefined);
      if (answer?.status !== 201) continue;
      const { number } = (await answer.json().catch(() => ({}))) as { number?: string };
      if (number === undefined) continue;
      acknowledged.set(filing.body.id, number);
      if (acknowledged.size - before >= BEFORE_THE_BLOW) fallen ??= blow();
    }
  };
  await Promise.all(Array.from({ length: SIDE_BY_SIDE }, worker));
  await fallen;
  return acknowledged.size - before;
}

const serve = async (): Promise<ServiceProcess> => {
  // A job that was cut off is taken up again once it has been silent for a while; let that while have passed.
  await rows(`update pgboss.job set heartbeat_on = heartbeat_on - interval '1 minute' where state = 'active'`);
  return startService({
    AS_NOTED_MODE: 'test',
    AS_NOTED_LOG_LEVEL: 'error',
    AS_NOTED_STATE: options.stateDir,
    DATABASE_URL: server.url,
  });
};

/** Every claim that was acknowledged is there once and whole; of all others nothing, or everything. */
async function demandWhole(): Promise<void> {
  const claims = await rows<{ id: string; number: string; state: string; filed: number; keys: number; jobs: number }>(
    `select c.id, c.number, c.state,
       (select count(*)::int from claim_event e where e.claim_id = c.id and e.kind = 'claim-filed') filed,
       (select count(*)::int from idempotency_key k where k.body ->> 'id' = c.id::text) keys,
       (select count(*)::int from pgboss.job j where j.name = 'assess-claim' and j.data ->> 'claim' = c.id::text) jobs
     from claim c`,
  );
  const numbers = new Map(claims.map(({ id, number }) => [id, number]));
  for (const [id, number] of acknowledged) expect([id, numbers.get(id)]).toEqual([id, number]);
  for (const claim of claims) {
    expect(claim).toMatchObject({ filed: 1, keys: 1, jobs: 1 });
    expect(parseClaimNumber(claim.number)).toBe(claim.number);
    const events = await chainOf({ rows }, claim.id);
    expect(verifyChain(claim.id, events)).toBeUndefined();
    expect(events[1]?.body['number']).toBe(claim.number);
  }
  expect(new Set(numbers.values()).size).toBe(claims.length);
  const [orphans] = await rows<{ events: number; jobs: number }>(
    `select (select count(*)::int from claim_event e where not exists (select 1 from claim c where c.id = e.claim_id)) events,
       (select count(*)::int from pgboss.job j where j.name = 'assess-claim'
          and not exists (select 1 from claim c where c.id::text = j.data ->> 'claim')) jobs`,
  );
  expect(orphans).toEqual({ events: 0, jobs: 0 });
}

beforeAll(async () => {
  server = await start(options);
  pool = new pg.Pool({ connectionString: server.url, max: 2 });
  pool.on('error', () => undefined); // one of the rounds ends the server
  await prepareDatabase(server.url, ALL_MIGRATIONS);
  await seed();
  service = await serve();
});
afterAll(() => pool.end());

describe('claims that were acknowledged', () => {
  it('are all there, whole and once, when the service is killed in the middle of filing', async () => {
    expect(await rows('show fsync')).toEqual([{ fsync: 'on' }]);
    expect(await fileUntil(() => service.kill())).toBeGreaterThanOrEqual(BEFORE_THE_BLOW);
    await demandWhole();
    service = await serve();
    await demandWhole();
  });

  it('are all there, whole and once, when the database server is killed with it', async () => {
    const postmaster = await serverPid(server);
    const blow = async (): Promise<void> => {
      process.kill(postmaster, 'SIGKILL');
      await service.kill();
      await waitUntilEnded(postmaster);
    };
    expect(await fileUntil(blow)).toBeGreaterThanOrEqual(BEFORE_THE_BLOW);
    server = await start(options);
    expect(new URL(server.url).port).toBe(new URL(String(pool.options.connectionString)).port);
    await demandWhole();
    service = await serve();
  });

  it('are answered the same when they are sent again, and those that were cut off are filed now', async () => {
    for (const filing of tried) {
      const answer = await post(filing);
      expect(answer.status).toBe(201);
      const { number } = (await answer.json()) as { number: string };
      expect(number).toBe(acknowledged.get(filing.body.id) ?? number);
      acknowledged.set(filing.body.id, number);
    }
    await demandWhole();
    expect(await rows('select count(*)::int n from claim')).toEqual([{ n: tried.length }]);
  });

  it('are all assessed in the end, each once', async () => {
    const open = `select count(*)::int n from claim where state <> 'proposed'`;
    await expect.poll(async () => (await rows<{ n: number }>(open))[0]?.n, { timeout: 40_000, interval: 100 }).toBe(0);
    expect(await rows('select count(*)::int n from claim_assessment')).toEqual([{ n: tried.length }]);
    await demandWhole();
    for (const { body } of tried) {
      const kinds = (await chainOf({ rows }, body.id)).map(({ kind }) => kind);
      expect(kinds).toEqual(['claim-drafted', 'claim-filed', 'assessment-started', 'claim-proposed']);
    }
  });
});
