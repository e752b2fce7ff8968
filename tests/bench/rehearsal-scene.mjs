// The stage of the rehearsal benchmark: a private PostgreSQL, one house, the shipped policy of the United States and a draft of it, and as many
// records of judged claims as are wanted, written straight into their table. They are made from the sample claims with other prices, so that
// every one of them is a case that the service could have kept.
import { createHash, randomUUID } from 'node:crypto';
import { existsSync, readdirSync, readFileSync } from 'node:fs';
import path from 'node:path';
import { fileURLToPath } from 'node:url';
import { deflateRawSync } from 'node:zlib';
import pg from 'pg';
import { ALL_MIGRATIONS } from '../../dist/migrations/all.js';
import { readClaimFile } from '../../dist/src/adjudication/adjudication.contract.js';
import { assessTraced, judgeFrozen, traceOfFrozen } from '../../dist/src/adjudication/records.contract.js';
import { claimDocuments } from '../../dist/src/cli/claim-documents.js';
import { canonicalJson } from '../../dist/src/kernel/canonical-json.js';
import { holidaysOf } from '../../dist/src/platform/calendar/holidays.js';
import { prepareDatabase } from '../../dist/src/platform/db/prepare-database.js';
import { startPrivateServer } from '../../dist/src/platform/postgres/private-server.js';
import { compilePolicy } from '../../dist/src/policies/policies.contract.js';

const root = fileURLToPath(new URL('../..', import.meta.url));
/** Different cases; a million records repeat them. */
const VARIANTS = 1_200;
const io = { out: () => {}, err: () => {}, stdin: () => Promise.resolve(new Uint8Array()) };

/** @param {string} stateDir an empty folder */
export async function openStage(stateDir) {
  const server = await startPrivateServer({ stateDir, onProgress: () => {} });
  await prepareDatabase(server.url, ALL_MIGRATIONS);
  const owner = new pg.Client({ connectionString: server.url, application_name: 'bench' });
  await owner.connect();
  // Records name claims, which are not needed here; the owner's session leaves foreign keys and triggers out.
  await owner.query('set session_replication_role = replica');
  const tenant = randomUUID();
  await owner.query(`insert into tenant (id, name) values ($1, 'Bench')`, [tenant]);
  const { policy, cases } = await sampleCases();
  const version = await addVersion(owner, tenant, policy, 1);
  await addVariants(owner, variantsOf(cases, policy));
  return {
    url: server.url,
    owner,
    tenant,
    policy,
    fill: (claims) => fill(owner, { tenant, version, policy, claims }),
    rehearse: (draft) => rehearsal(owner, tenant, policy, draft),
    close: async () => {
      await owner.end();
      await server.stop();
    },
  };
}

async function sampleCases() {
  const folder = path.join(root, 'sample-claims');
  const cases = [];
  let policy;
  for (const name of readdirSync(folder).sort()) {
    if (!existsSync(path.join(folder, name, 'claim.json'))) continue;
    const { value: claim } = readClaimFile(JSON.parse(readFileSync(path.join(folder, name, 'claim.json'), 'utf8')));
    const inputs = { ...(await claimDocuments(claim, {}, io)), isHoliday: holidaysOf(claim.jurisdiction) };
    if (inputs.policy.document.id !== 'us-powered-furniture') continue;
    policy = inputs.policy;
    cases.push(assessTraced(claim, inputs).value.frozen());
  }
  if (policy === undefined) throw new Error('there are no sample claims of the United States');
  return { policy, cases };
}

/** The same cases at other prices. */
function variantsOf(cases, policy) {
  return Array.from({ length: VARIANTS }, (_, n) => {
    const frozen = structuredClone(cases[n % cases.length]);
    const priceMinor = 20_000 + ((n * 7_919) % 250_000);
    frozen.claim.order.priceMinor = priceMinor;
    frozen.base['price paid'] = `${Math.floor(priceMinor / 100)}.${String(priceMinor % 100).padStart(2, '0')}`;
    const parties = ['Pellow & Sons', 'Quay House', 'Larkfield Living', 'Ostler Rooms', 'Tamar Home'];
    frozen.parties = { ...frozen.parties, retailer: parties[n % parties.length] };
    const judged = judgeFrozen(frozen, policy);
    if (!judged.ok) throw new Error(judged.problem);
    return {
      facts: canonicalJson(frozen),
      outcome: canonicalJson(judged.outcome),
      trace: canonicalJson(traceOfFrozen(judged)),
      on: frozen.on,
    };
  });
}

async function addVersion(owner, tenant, policy, version) {
  const id = randomUUID();
  const { document, hash } = policy;
  await owner.query(
    `insert into policy_version (id, tenant_id, code, version, title, jurisdiction, effective_from, body, hash)
     values ($1, $2, $3, $4, $5, $6, '2024-01-01', $7, $8)`,
    [id, tenant, document.id, version, document.title, document.jurisdiction, document, hash],
  );
  return id;
}

async function addVariants(owner, variants) {
  await owner.query(
    'create temp table variant (k integer primary key, facts text, facts_hash text, outcome text, outcome_hash text, trace bytea, trace_hash text, on_date date)',
  );
  for (const [k, { facts, outcome, trace, on }] of variants.entries()) {
    await owner.query('insert into variant values ($1, $2, $3, $4, $5, $6, $7, $8)', [
      k,
      facts,
      sha(facts),
      outcome,
      sha(outcome),
      deflateRawSync(trace),
      sha(trace),
      on,
    ]);
  }
}

/** Adds records until there are so many, spread over a year. */
async function fill(owner, { tenant, version, policy, claims }) {
  const { rows } = await owner.query('select count(*)::int n from decision_record');
  for (let from = rows[0].n; from < claims; from += 50_000) {
    await owner.query(
      `insert into decision_record
       select gen_random_uuid(), $1, gen_random_uuid(), 1, gen_random_uuid(), 'US-OH', v.on_date, $2, $3, 1, $4, 'US', 1,
         v.facts, v.facts_hash, v.outcome, v.outcome_hash, v.trace, v.trace_hash, 'the service',
         timestamptz '2025-11-01' + g * interval '31 seconds', v.facts_hash
       from generate_series($5::int, $6::int - 1) g join variant v on v.k = g % ${VARIANTS} order by g`,
      [tenant, version, policy.document.id, policy.hash, from, Math.min(from + 50_000, claims)],
    );
  }
  await owner.query('vacuum (analyze) decision_record');
}

/** Asks for a rehearsal of a draft. @returns its id */
async function rehearsal(owner, tenant, policy, draft) {
  const compiled = compilePolicy(draft);
  if (!compiled.ok) throw new Error(JSON.stringify(compiled.faults));
  await owner.query('delete from rehearsal_change; delete from rehearsal_batch; delete from rehearsal;');
  await owner.query(`delete from policy_version where version = 2`);
  const versionId = await addVersion(owner, tenant, compiled.policy, 2);
  const id = randomUUID();
  await owner.query(
    `insert into rehearsal (id, tenant_id, policy_version_id, code, version, hash, document, jurisdiction, wish, state, asked_by, asked_at)
     values ($1, $2, $3, $4, 2, $5, $6, 'US', '{}', 'waiting', $7, now())`,
    [id, tenant, versionId, policy.document.id, compiled.policy.hash, compiled.policy.document, randomUUID()],
  );
  return id;
}

function sha(text) {
  return createHash('sha256').update(text).digest('hex');
}
