import pg from 'pg';
import { beforeAll, beforeEach, inject } from 'vitest';
import { withClient } from '../../src/platform/postgres/connection.js';
import { onDatabase } from './cluster.js';

/** A migrated database of this worker alone. */
export interface TestDatabase {
  /** Address as its owner, a superuser. The service adds its own role to it (see appDataSource). */
  readonly url: string;
  /** Version of the server, such as "18.4". */
  readonly version: string;
  /** Removes every row that is not part of a migrated database, triggers and foreign keys resting meanwhile. */
  empty(): Promise<void>;
  /** Runs one statement as owner, past row-level security, and returns its rows. */
  rows<Row extends pg.QueryResultRow>(sql: string, parameters?: readonly unknown[]): Promise<Row[]>;
}

let known: Promise<TestDatabase> | undefined;

/**
 * The worker's database, empty. It is cloned once per worker from the run's template; files that follow in the same worker get it again.
 */
export async function testDatabase(): Promise<TestDatabase> {
  known ??= open();
  const database = await known;
  await database.empty();
  return database;
}

/** For the top of a file or a describe block: the worker's database, empty before each of its tests. */
export function freshDatabase(): () => TestDatabase {
  let database: TestDatabase | undefined;
  beforeAll(async () => {
    database = await testDatabase();
  });
  beforeEach(async () => {
    await database?.empty();
  });
  return () => {
    if (database === undefined)
      throw new Error('The database is there from beforeAll on, not while the file is being read.');
    return database;
  };
}

async function open(): Promise<TestDatabase> {
  const { url: serverUrl, template, prefix, version } = inject('testServer');
  const name = `${prefix}_w${process.env['VITEST_POOL_ID'] ?? '0'}`;
  await withClient(serverUrl, async (client) => {
    const { rowCount } = await client.query('select 1 from pg_database where datname = $1', [name]);
    // FILE_COPY was the faster one on this server (147 against 161 ms on 18.4, 183 against 254 ms on 15.18): with fsync off
    // the checkpoints it takes cost little. Elsewhere WAL_LOG wins.
    if (rowCount === 0) await client.query(`create database ${name} template ${template} strategy file_copy`);
  });
  const url = onDatabase(serverUrl, name);
  const pool = new pg.Pool({ connectionString: url, max: 2, allowExitOnIdle: true });
  pool.on('error', () => undefined); // the server stops before the worker does
  const statement = await emptyingStatement(pool);
  return {
    url,
    version,
    empty: async () => {
      await pool.query(statement);
    },
    rows: async <Row extends pg.QueryResultRow>(sql: string, parameters: readonly unknown[] = []) =>
      (await pool.query<Row>(sql, [...parameters])).rows,
  };
}

/**
 * Deletes from all tables but those the migrations filled and the job runner's own notes. Deleting took 1 ms where TRUNCATE took 30 ms
 * (28 tables): the tables hold few rows, and TRUNCATE makes new files for each. `session_replication_role = replica` lets triggers and foreign keys rest.
 */
async function emptyingStatement(pool: pg.Pool): Promise<string> {
  const { rows } = await pool.query<{ name: string; jobs: boolean; own: boolean }>(`
    select format('%I.%I', n.nspname, c.relname) as name, n.nspname = 'pgboss' as own, c.relname = 'job' as jobs
    from pg_class c join pg_namespace n on n.oid = c.relnamespace
    where c.relkind in ('r', 'p') and not c.relispartition
      and n.nspname not in ('pg_catalog', 'information_schema') and n.nspname not like 'pg\\_%'
    order by 1`);
  const emptied: string[] = [];
  for (const { name, own, jobs } of rows) {
    if (own && !jobs) continue;
    const { rowCount } = await pool.query(`select 1 from ${name} limit 1`);
    if (rowCount === 0) emptied.push(name);
  }
  const deletions = emptied.map((name) => `delete from ${name};`).join(' ');
  return `begin; set local session_replication_role = replica; ${deletions} commit;`;
}
