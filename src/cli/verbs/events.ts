import type pg from 'pg';
import { linkFault, verifyChain, type ChainFault, type ClaimEvent } from '../../claims/claims.contract.js';
import type { RecoveryEvent } from '../../recovery/recovery.contract.js';
import { parseUuid } from '../../kernel/ids.js';
import { loadConfig } from '../../platform/config/config.js';
import { withClient } from '../../platform/postgres/connection.js';
import { resolveDatabase } from '../../platform/postgres/resolve-database.js';
import { DatabaseUnavailable } from '../../platform/postgres/unavailable.js';
import { readOptions } from '../command-options.js';
import { EXIT, Misused, type Io } from '../verb.js';

/** Claims read at a time: enough to be quick, few enough to keep memory flat. */
const CLAIMS_AT_ONCE = 500;

/** What walking the chains found. */
interface Walked {
  readonly claims: number;
  readonly events: number;
  readonly faults: readonly ChainFault[];
}

/** `events verify`: walks the event chains of every claim and its recoveries and names each that is not as it was written. */
export async function verifyEvents(args: readonly string[], io: Io): Promise<number> {
  const tenant = tenantOf(args);
  const config = loadConfig(process.env);
  try {
    const database = await resolveDatabase({
      stateDir: config.stateDir,
      databaseUrl: config.databaseUrl,
      onProgress: io.err,
    });
    try {
      const walked = await withClient(database.url, async (client) => {
        await chooseSight(client, tenant);
        return walk(client);
      });
      io.out(JSON.stringify({ ...walked, whole: walked.faults.length === 0 }));
      for (const fault of walked.faults) io.err(`Claim ${fault.claim}: ${fault.detail}.`);
      return walked.faults.length === 0 ? EXIT.ok : EXIT.findings;
    } finally {
      await database.stop();
    }
  } catch (error) {
    if (!(error instanceof DatabaseUnavailable)) throw error;
    io.err(error.message);
    return EXIT.failed;
  }
}

function tenantOf(args: readonly string[]): string | undefined {
  const { operands, options } = readOptions(args, ['--tenant']);
  if (operands.length > 0) throw new Misused(`events verify does not know what to do with ${operands.join(' ')}.`);
  const text = options.get('--tenant');
  const id = text === undefined ? undefined : parseUuid(text);
  if (text !== undefined && id === undefined) throw new Misused(`${text} is not the id of a tenant.`);
  return id;
}

/** Without a tenant all claims must be visible; an account behind the wall would see none and call that whole. */
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

async function walk(client: pg.Client): Promise<Walked> {
  let claims = 0;
  let events = 0;
  const faults: ChainFault[] = [];
  for (let after = '00000000-0000-0000-0000-000000000000'; ;) {
    const { rows: ids } = await client.query<{ id: string }>(
      'select id from claim where id > $1 order by id limit $2',
      [after, CLAIMS_AT_ONCE],
    );
    if (ids.length === 0) return { claims, events, faults };
    const wanted = ids.map(({ id }) => id);
    const { rows } = await client.query<EventRow>(
      `select claim_id as claim, n, kind, at, actor, body, previous_hash as "previousHash", hash
       from claim_event where claim_id = any ($1::uuid[]) order by claim_id, n`,
      [wanted],
    );
    const chains = Map.groupBy(rows, ({ claim }) => claim);
    for (const id of wanted) {
      const chain = (chains.get(id) ?? []).map((row) => ({ ...row, at: row.at.toISOString() }));
      const fault =
        chain.length === 0 ? { claim: id, n: 1, detail: 'the claim has no events at all' } : verifyChain(id, chain);
      if (fault) faults.push(fault);
      events += chain.length;
    }
    const recoveries = await walkRecoveries(client, wanted);
    faults.push(...recoveries.faults);
    events += recoveries.events;
    claims += wanted.length;
    after = wanted.at(-1) ?? after;
  }
}

/** The histories of the recoveries of claims. */
async function walkRecoveries(client: pg.Client, claims: readonly string[]): Promise<Omit<Walked, 'claims'>> {
  const { rows } = await client.query<RecoveryRow>(
    `select recovery.id, recovery.claim_id as claim, recovery.party_name as party,
       coalesce(json_agg(json_build_object('n', event.n, 'kind', event.kind, 'at', event.at, 'actor', event.actor, 'body', event.body,
         'previousHash', event.previous_hash, 'hash', event.hash) order by event.n) filter (where event.n is not null), '[]') as events
     from recovery left join recovery_event event on event.recovery_id = recovery.id
     where recovery.claim_id = any ($1::uuid[]) group by recovery.id order by recovery.claim_id, recovery.id`,
    [claims],
  );
  const faults = rows.flatMap(({ claim, party, events }) => {
    const chain = events.map((event) => ({ ...event, at: new Date(event.at).toISOString() }));
    const fault = chain.length === 0 ? { n: 1, detail: 'it has no events at all' } : linkFault(chain);
    return fault === undefined ? [] : [{ claim, n: fault.n, detail: `in the recovery from ${party}, ${fault.detail}` }];
  });
  return { events: rows.reduce((sum, { events }) => sum + events.length, 0), faults };
}

interface RecoveryRow {
  readonly claim: string;
  readonly party: string;
  readonly events: readonly RecoveryEvent[];
}

type EventRow = Omit<ClaimEvent, 'at'> & { readonly at: Date };
