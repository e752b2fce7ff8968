// What the http benchmark measures the service against: bare Fastify and raw pg with named prepared statements, doing the same work in
// the database, statement by statement, under the same role and the same row-level security. The benchmark compares the statements
// that both really send and stops when they differ. No validation, no log, no metrics, no problem documents.
import { createHash, randomInt, randomUUID } from 'node:crypto';
import Fastify from 'fastify';
import pg from 'pg';
import { nextEvent } from '../../dist/src/claims/domain/event-chain.js';
import { standsAt } from '../../dist/src/claims/domain/retailer-view.js';
import { contentHash } from '../../dist/src/kernel/canonical-json.js';
import { claimNumber } from '../../dist/src/kernel/claim-number.js';
import { underRole } from '../../dist/src/platform/db/data-source.js';

const { url, role, addJob } = JSON.parse(process.argv[2]);
const pool = new pg.Pool({
  connectionString: underRole(url, role),
  max: 10,
  application_name: 'peer',
  statement_timeout: 15_000,
  idle_in_transaction_session_timeout: 30_000,
});

const KEY = `select api_key.id, api_key.tenant_id, tenant.sample, api_key.name, api_key.expires_at, api_key.ended_at,
    api_key.last_used_at used_at, api_key.scopes, api_key.retailer_id
  from api_key join tenant on tenant.id = api_key.tenant_id where api_key.key_hash = :hash`;

const STATEMENTS = {
  scope: `select set_config('app.tenant', $1, true), set_config('app.retailer', $2, true), set_config('app.visit', $3, true)`,
  standing: `select c.state, c.promised_at, d.outcome, q.asked from claim c
    left join claim_decision d on d.tenant_id = c.tenant_id and d.claim_id = c.id and d.state = 'standing'
    left join lateral (select i.asked from information_request i where i.tenant_id = c.tenant_id and i.claim_id = c.id
      and i.answered_at is null order by i.asked_at desc limit 1) q on true
    where c.tenant_id = $1 and c.id = $2`,
  lock: `select pg_try_advisory_xact_lock(hashtextextended($1, 0)) free`,
  expire: `delete from idempotency_key where tenant_id = $1 and expires_at <= $2 and ((client = $3 and key = $4) or ctid in
    (select ctid from idempotency_key where tenant_id = $1 and expires_at <= $2 limit 20 for update skip locked))`,
  stored: `select fingerprint, status, headers, body from idempotency_key where tenant_id = $1 and client = $2 and key = $3`,
  visit: `select v.id, v.retailer_id, r.code retailer_code, r.name retailer_name, v.carrier_id, c.code carrier_code, c.name carrier_name,
      v.order_reference, v.placed_on, v.currency, v.price_minor, v.tax_minor, v.delivery_minor, v.address, v.jurisdiction, v.zone,
      v.window_from, v.window_to, v.crew_size, v.custody, v.receipt, v.receipt_words, v.delivered_at, v.version,
      (select json_agg(json_build_object('id', u.id, 'sku', m.sku, 'title', m.title, 'serial', u.serial) order by u.serial)
       from visit_unit u join model m on m.tenant_id = u.tenant_id and m.id = u.model_id
       where u.tenant_id = v.tenant_id and u.visit_id = v.id) units
    from visit v
    join retailer r on r.tenant_id = v.tenant_id and r.id = v.retailer_id
    join carrier c on c.tenant_id = v.tenant_id and c.id = v.carrier_id where v.tenant_id = $1 and v.id = $2`,
  inspection: `select visit_id, unit_id from inspection where tenant_id = $1 and id = $2`,
  addClaim: `insert into claim (id, tenant_id, retailer_id, visit_id, unit_id, inspection_id, state, ground, words, failed_repairs, supplied,
      noticed_at, currency, version, created_by, created_at, updated_at)
    values ($1, $2, $3, $4, $5, $6, 'draft', $7, $8, 0, '{}', $9, $10, 1, $11, $12, $12) on conflict do nothing returning id`,
  addEvents: `insert into claim_event (tenant_id, claim_id, n, kind, at, actor, body, previous_hash, hash)
    select $1, $2, e.n, e.kind, e.at, e.actor, e.body, e."previousHash", e.hash
    from jsonb_to_recordset($3::jsonb)
      as e (n integer, kind text, at timestamptz, actor jsonb, body jsonb, "previousHash" text, hash text)`,
  numberTaken: `select 1 from claim where tenant_id = $1 and number = $2`,
  fileClaim: `update claim set state = 'filed', number = $4, filed_at = $5, filed_by = $6, version = $7, updated_at = $5
    where tenant_id = $1 and id = $2 and version = $3`,
  addJob,
  keep: `insert into idempotency_key (tenant_id, client, key, fingerprint, status, headers, body, created_at, expires_at)
    values ($1, $2, $3, $4, $5, $6, $7, $8, $9)`,
};

function run(client, name, values) {
  return client.query({ name, text: STATEMENTS[name], values });
}

async function identify(request) {
  const secret = request.headers.authorization.slice('Bearer '.length);
  const hex = createHash('sha256').update(secret).digest('hex');
  const literal = `'\\x${hex}'::bytea`;
  const results = await pool.query(
    [
      'begin read only',
      `select set_config('app.credential', '${hex}', true)`,
      `select set_config('app.tenant', coalesce((select tenant_id::text from api_key where key_hash = ${literal}), ''), true)`,
      KEY.replaceAll(':hash', literal),
      'commit',
    ].join(';'),
  );
  const key = results[3].rows[0];
  if (key === undefined || key.ended_at !== null) throw Object.assign(new Error('not known'), { statusCode: 401 });
  return key;
}

async function inTransaction(key, work) {
  const client = await pool.connect();
  try {
    await client.query('start transaction');
    await run(client, 'scope', [key.tenant_id, key.retailer_id ?? '', '']);
    const result = await work(client);
    await client.query('commit');
    return result;
  } catch (error) {
    await client.query('rollback');
    throw error;
  } finally {
    client.release();
  }
}

const server = Fastify();

server.get('/v1/claims/:id/standing', async (request, reply) => {
  const key = await identify(request);
  const row = await inTransaction(key, async (client) => {
    const { rows } = await run(client, 'standing', [key.tenant_id, request.params.id]);
    return rows[0];
  });
  if (row === undefined) return reply.code(404).send();
  return standsAt(row.state, row.outcome, row.promised_at?.toISOString() ?? null, row.asked);
});

server.post('/v1/claims', async (request, reply) => {
  const key = await identify(request);
  const body = request.body;
  const client = `key:${key.id}`;
  const idempotencyKey = JSON.parse(request.headers['idempotency-key']);
  const fingerprint = contentHash({ method: request.method, url: request.url, body });
  const claim = await inTransaction(key, async (tx) => {
    const now = new Date();
    await run(tx, 'lock', [`idempotency ${key.tenant_id} ${client} ${idempotencyKey}`]);
    await run(tx, 'expire', [key.tenant_id, now, client, idempotencyKey]);
    const { rows } = await run(tx, 'stored', [key.tenant_id, client, idempotencyKey]);
    if (rows.length > 0) return rows[0].body;
    await tx.query('savepoint effect');
    const filed = await file(tx, key, body);
    await tx.query('release savepoint effect');
    const headers = { etag: `"v${filed.version}"`, location: `/v1/claims/${filed.id}` };
    const ends = new Date(now.getTime() + 86_400_000);
    await run(tx, 'keep', [
      key.tenant_id,
      client,
      idempotencyKey,
      fingerprint,
      201,
      JSON.stringify(headers),
      JSON.stringify(filed),
      now,
      ends,
    ]);
    return filed;
  });
  return reply.code(201).header('etag', `"v${claim.version}"`).header('location', `/v1/claims/${claim.id}`).send(claim);
});

async function file(tx, key, body) {
  const at = new Date().toISOString();
  const noticedAt = new Date(body.noticedAt).toISOString();
  const visit = (await run(tx, 'visit', [key.tenant_id, body.visitId])).rows[0];
  const unit = visit.units.find(({ serial }) => serial.toUpperCase() === body.serial.trim().toUpperCase());
  const inspection = (await run(tx, 'inspection', [key.tenant_id, body.inspectionId])).rows[0];
  if (inspection.unit_id !== unit.id) throw new Error('another unit');
  const id = randomUUID();
  const { ground, words, visitId, inspectionId, serial } = body;
  const added = await run(tx, 'addClaim', [
    id,
    key.tenant_id,
    visit.retailer_id,
    visitId,
    unit.id,
    inspectionId,
    ground,
    words,
    noticedAt,
    visit.currency,
    key.id,
    at,
  ]);
  if (added.rows.length !== 1) throw new Error('duplicate claim');
  const actor = { kind: 'key', id: key.id, name: key.name };
  const number = claimNumber(randomInt(100_000_000));
  if ((await run(tx, 'numberTaken', [key.tenant_id, number])).rows.length > 0) throw new Error('number taken');
  const what = { ground, visit: visitId, serial };
  const drafted = nextEvent(null, { claim: id, kind: 'claim-drafted', at, actor, body: what });
  const filing = { number, ground, inspection: inspectionId };
  const filed = nextEvent(drafted, { claim: id, kind: 'claim-filed', at, actor, body: filing });
  await run(tx, 'addEvents', [key.tenant_id, id, JSON.stringify([drafted, filed])]);
  await run(tx, 'fileClaim', [key.tenant_id, id, 1, number, at, key.id, 2]);
  const job = { data: { tenant: key.tenant_id, claim: id }, singletonKey: randomUUID() };
  await run(tx, 'addJob', [JSON.stringify([job])]);
  const { currency } = visit;
  const standing = standsAt('filed', null, null, null);
  return {
    id,
    number,
    state: 'filed',
    standing,
    ground,
    words,
    visitId,
    inspectionId,
    currency,
    noticedAt,
    filedAt: at,
    version: 2,
  };
}

await server.listen({ port: 0, host: '127.0.0.1' });
process.send({ port: server.server.address().port });
process.once('SIGTERM', () => {
  process.disconnect();
  void server.close().then(() => pool.end());
});
