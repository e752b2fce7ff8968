// The stage of the http benchmark: a private PostgreSQL with its durable settings, the sample house opened for production, many more
// visits of the same kind, one retailer's key; and a reader of the statements that a client really sent.
import { createHash, randomBytes, randomUUID } from 'node:crypto';
import { readFileSync } from 'node:fs';
import path from 'node:path';
import pg from 'pg';
import { ALL_MIGRATIONS } from '../../dist/migrations/all.js';
import { loadSamples } from '../../dist/src/cli/samples/load-samples.js';
import { sampleId } from '../../dist/src/cli/samples/scenario.js';
import { loadConfig } from '../../dist/src/platform/config/config.js';
import { prepareDatabase } from '../../dist/src/platform/db/prepare-database.js';
import { startPrivateServer } from '../../dist/src/platform/postgres/private-server.js';

const TENANT = 'northgate-homewares';
const RETAILER = 'pellow-sons';
const MODEL_VISIT = 'V-PS-21004';

/**
 * @param {string} stateDir an empty folder
 * @param {number} visits how many visits with one unit and a begun inspection each, ready for a claim
 */
export async function openScene(stateDir, visits) {
  const server = await startPrivateServer({ stateDir, onProgress: () => {} });
  await prepareDatabase(server.url, ALL_MIGRATIONS);
  await loadSamples(loadConfig({ DATABASE_URL: server.url, AS_NOTED_STATE: stateDir }), () => {});
  const owner = new pg.Client({ connectionString: server.url, application_name: 'bench' });
  await owner.connect();
  const { rows: settings } = await owner.query(
    `select current_setting('fsync') fsync, current_setting('synchronous_commit') synchronous_commit, current_setting('server_version') version`,
  );
  // Sample people are refused in production. These are measured, not let in, so the house counts as a real one here.
  await owner.query('update tenant set sample = false');
  const ready = await addVisits(owner, visits);
  const key = await addKey(owner);
  const known = await owner.query('select id from claim where tenant_id = $1 and retailer_id = $2 order by id', [
    sampleId('tenant', TENANT),
    sampleId('retailer', RETAILER),
  ]);
  await owner.query('vacuum analyze');
  return {
    url: server.url,
    settings: settings[0],
    key,
    ready,
    claims: known.rows.map(({ id }) => id),
    statementsOf: (application, work) => statementsOf(owner, server.home, application, work),
    close: async () => {
      await owner.end();
      await server.stop();
    },
  };
}

async function addVisits(owner, count) {
  const model = sampleId('visit', MODEL_VISIT);
  const rows = Array.from({ length: count }, (_, n) => ({
    visit: randomUUID(),
    unit: randomUUID(),
    inspection: randomUUID(),
    serial: `DR7W${String(600_000 + n)}`,
    n,
  }));
  await owner.query(
    `insert into visit (id, tenant_id, retailer_id, carrier_id, order_reference, placed_on, currency, price_minor, tax_minor, delivery_minor,
       address, jurisdiction, zone, window_from, window_to, crew_size, custody)
     select r.visit, v.tenant_id, v.retailer_id, v.carrier_id, 'B-' || r.n, v.placed_on, v.currency, v.price_minor, v.tax_minor, v.delivery_minor,
       v.address, v.jurisdiction, v.zone, v.window_from, v.window_to, v.crew_size, v.custody
     from visit v, jsonb_to_recordset($2) as r (visit uuid, n int) where v.id = $1`,
    [model, JSON.stringify(rows)],
  );
  await owner.query(
    `insert into visit_unit (id, tenant_id, visit_id, model_id, serial)
     select r.unit, u.tenant_id, r.visit, u.model_id, r.serial
     from visit_unit u, jsonb_to_recordset($2) as r (unit uuid, visit uuid, serial text) where u.visit_id = $1`,
    [model, JSON.stringify(rows)],
  );
  await owner.query(
    `insert into inspection (id, tenant_id, visit_id, unit_id, checklist_version_id, crew_size, started_at, found_at, started_by)
     select r.inspection, v.tenant_id, r.visit, r.unit, c.id, 2, now(), 'unboxing', 'service:bench'
     from visit v join checklist_version c on c.tenant_id = v.tenant_id and c.code = 'bed-base',
       jsonb_to_recordset($2) as r (inspection uuid, visit uuid, unit uuid) where v.id = $1`,
    [model, JSON.stringify(rows)],
  );
  return rows;
}

/** A retailer's key as the service would make it: 256 random bits, of which only the hash is kept. */
async function addKey(owner) {
  const text = `ank_${randomBytes(32).toString('base64url')}`;
  await owner.query(
    `insert into api_key (tenant_id, retailer_id, name, prefix, key_hash, scopes, created_by)
     values ($1, $2, 'bench', $3, $4, '{claims:read,claims:write}', (select id from person where tenant_id = $1 limit 1))`,
    [
      sampleId('tenant', TENANT),
      sampleId('retailer', RETAILER),
      text.slice(0, 12),
      createHash('sha256').update(text).digest(),
    ],
  );
  return text;
}

/** What a client sends while work is done, by the server's own log: each statement with its shape, that is its verb and its tables. */
async function statementsOf(owner, home, application, work) {
  await owner.query(`alter system set log_statement = 'all'`);
  await owner.query(`alter system set log_line_prefix = '@%a|%p@ '`);
  await reload(owner, 'all');
  const file = path.join(home, 'run', 'server.log');
  const before = readFileSync(file).length;
  await work();
  await owner.query(`alter system reset log_statement`);
  await reload(owner, 'none');
  const entries = readFileSync(file).subarray(before).toString('utf8').split(/^@/m);
  return entries.flatMap((entry) => {
    const [, name, text] = /^([^|]*)\|\d+@ LOG: {2}(?:statement|execute [^:]+): ([^]*)$/.exec(entry) ?? [];
    if (name !== application) return [];
    const parts = text.replaceAll(/\n\t/g, '\n').trim().split(';');
    return parts.filter((part) => part.trim() !== '').map((part) => ({ text: part, shape: shape(part) }));
  });
}

async function reload(owner, expected) {
  await owner.query('select pg_reload_conf()');
  for (let tries = 0; tries < 100; tries += 1) {
    const { rows } = await owner.query(`select current_setting('log_statement') now`);
    if (rows[0].now === expected) break;
    await new Promise((settle) => setTimeout(settle, 50));
  }
  await new Promise((settle) => setTimeout(settle, 300)); // the other connections read the settings when they wake
}

/** "insert claim", "select visit carrier model retailer visit_unit", "begin". */
function shape(sql) {
  const text = sql.replaceAll('"', '').replaceAll(/\s+/g, ' ').trim().toLowerCase();
  const verb = text.split(' ')[0];
  if (verb === 'start' || verb === 'begin') return 'begin';
  const tables = [...text.matchAll(/\b(?:from|join|into|update) (?:only )?([a-z_]+(?:\.[a-z_]+)?)/g)].map(
    ([, table]) => table,
  );
  const told = [...new Set(tables)]
    .filter((table) => !['set', 'lateral', 'skip', 'json_to_recordset', 'jsonb_to_recordset'].includes(table))
    .sort((a, b) => (a < b ? -1 : 1));
  return [verb === 'with' ? 'insert' : verb, ...told].join(' ');
}
