import type pg from 'pg';
import { replayed, type Replay } from '../../claims/judgement-records.service.js';
import { contentHash } from '../../kernel/canonical-json.js';
import { parseUuid } from '../../kernel/ids.js';
import { loadConfig } from '../../platform/config/config.js';
import { withClient } from '../../platform/postgres/connection.js';
import { resolveDatabase } from '../../platform/postgres/resolve-database.js';
import { DatabaseUnavailable } from '../../platform/postgres/unavailable.js';
import type { DecisionRecordRow } from '../../policies/decision-records.service.js';
import { compilePolicy, type CompiledPolicy } from '../../policies/policies.contract.js';
import { RECORD_COLUMNS } from '../../policies/records.contract.js';
import { readOptions } from '../command-options.js';
import { EXIT, Misused, type Io } from '../verb.js';

/** Records read at a time: enough to be quick, few enough to keep memory flat. */
const RECORDS_AT_ONCE = 200;

interface Wanted {
  readonly tenant: string | undefined;
  /** About so many records, always the same ones; undefined: all. */
  readonly sample: number | undefined;
}

interface Found {
  readonly records: number;
  readonly differing: readonly Replay[];
}

/** `decisions replay`: makes kept judgements again and names each that does not come out byte for byte. */
export async function replayDecisions(args: readonly string[], io: Io): Promise<number> {
  const wanted = wantedOf(args);
  const config = loadConfig(process.env);
  try {
    const { stateDir, databaseUrl } = config;
    const database = await resolveDatabase({ stateDir, databaseUrl, onProgress: io.err });
    try {
      const found = await withClient(database.url, async (client) => {
        await chooseSight(client, wanted.tenant);
        return replayAll(client, wanted.sample);
      });
      io.out(JSON.stringify({ ...found, same: found.differing.length === 0 }));
      for (const { claim, record, differences } of found.differing) {
        io.err(`Claim ${claim}, record ${record}: ${differences.join(' ')}`);
      }
      return found.differing.length === 0 ? EXIT.ok : EXIT.findings;
    } finally {
      await database.stop();
    }
  } catch (error) {
    if (!(error instanceof DatabaseUnavailable)) throw error;
    io.err(error.message);
    return EXIT.failed;
  }
}

function wantedOf(args: readonly string[]): Wanted {
  const { operands, options } = readOptions(args, ['--tenant', '--sample']);
  if (operands.length > 0) throw new Misused(`decisions replay does not know what to do with ${operands.join(' ')}.`);
  const [tenant, sample] = [options.get('--tenant'), options.get('--sample')];
  const id = tenant === undefined ? undefined : parseUuid(tenant);
  if (tenant !== undefined && id === undefined) throw new Misused(`${tenant} is not the id of a tenant.`);
  if (sample !== undefined && !/^[1-9]\d{0,8}$/.test(sample)) {
    throw new Misused(`--sample is ${sample}; it must be a whole number above 0.`);
  }
  return { tenant: id, sample: sample === undefined ? undefined : Number(sample) };
}

/** Without a tenant all records must be visible; an account behind the wall would see none and call that the same. */
async function chooseSight(client: pg.Client, tenant: string | undefined): Promise<void> {
  if (tenant !== undefined) {
    await client.query(`select set_config('app.tenant', $1, false)`, [tenant]);
    return;
  }
  const { rows } = await client.query<{ sees: boolean }>(
    'select rolsuper or rolbypassrls as sees from pg_roles where rolname = current_user',
  );
  if (rows[0]?.sees === true) return;
  throw new Misused('This database account sees one tenant at a time. Name it with --tenant ID.');
}

type Stored = Omit<DecisionRecordRow, 'madeAt'> & { readonly madeAt: Date };

async function replayAll(client: pg.Client, sample: number | undefined): Promise<Found> {
  const policies = new Map<string, CompiledPolicy | undefined>();
  const differing: Replay[] = [];
  const oneIn = await oneInSoMany(client, sample);
  let records = 0;
  for (let after = '00000000-0000-0000-0000-000000000000'; ;) {
    const { rows } = await client.query<Stored>(
      `select ${RECORD_COLUMNS} from decision_record
       where id > $1 and (hashtextextended(id::text, 0) & 2147483647) % $2::int = 0 order by id limit $3`,
      [after, oneIn, RECORDS_AT_ONCE],
    );
    if (rows.length === 0) return { records, differing };
    const noted = await notedRecords(client, rows);
    for (const row of rows) {
      const record = { ...row, madeAt: row.madeAt.toISOString() };
      const policy = await policyOf(client, record, policies);
      const replay = replayed({ record, policy }, noted.get(record.claimId) ?? new Set());
      if (replay.differences.length > 0) differing.push(replay);
    }
    records += rows.length;
    after = rows.at(-1)?.id ?? after;
  }
}

async function oneInSoMany(client: pg.Client, sample: number | undefined): Promise<number> {
  if (sample === undefined) return 1;
  const { rows } = await client.query<{ all: number }>('select count(*)::int "all" from decision_record');
  return Math.max(1, Math.floor((rows[0]?.all ?? 0) / sample));
}

/** Hashes of records that the events of claims name. */
async function notedRecords(client: pg.Client, rows: readonly Stored[]): Promise<Map<string, Set<string>>> {
  const events = await client.query<{ claim: string; hash: string }>(
    `select claim_id claim, body ->> 'record' hash from claim_event where claim_id = any($1::uuid[]) and kind = 'claim-proposed'`,
    [[...new Set(rows.map(({ claimId }) => claimId))]],
  );
  const noted = new Map<string, Set<string>>();
  for (const { claim, hash } of events.rows) noted.set(claim, (noted.get(claim) ?? new Set()).add(hash));
  return noted;
}

/** The policy as it was when it judged; undefined where its content is no longer that. */
async function policyOf(
  client: pg.Client,
  { policyVersionId, policyHash }: Pick<DecisionRecordRow, 'policyVersionId' | 'policyHash'>,
  known: Map<string, CompiledPolicy | undefined>,
): Promise<CompiledPolicy | undefined> {
  const key = `${policyVersionId} ${policyHash}`;
  if (known.has(key)) return known.get(key);
  const { rows } = await client.query<{ body: object }>('select body from policy_version where id = $1', [
    policyVersionId,
  ]);
  const body = rows[0]?.body;
  const outcome = body !== undefined && contentHash(body) === policyHash ? compilePolicy(body) : undefined;
  const policy = outcome?.ok === true ? outcome.policy : undefined;
  known.set(key, policy);
  return policy;
}
