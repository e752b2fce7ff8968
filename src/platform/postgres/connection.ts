import pg from 'pg';
import { versionFromNumber } from './version.js';
import type { PostgresVersion } from './version.js';

const CONNECT_PATIENCE_MS = 10_000;

/** Opens one connection, hands it to the work and closes it again. */
export async function withClient<T>(url: string, work: (client: pg.Client) => Promise<T>): Promise<T> {
  const client = new pg.Client({ connectionString: url, connectionTimeoutMillis: CONNECT_PATIENCE_MS });
  client.on('error', () => undefined); // a server that goes away shows in the query that waits for it
  await client.connect();
  try {
    return await work(client);
  } finally {
    await client.end();
  }
}

/** Asks the server behind the address for its version; rejects with the driver's error when it does not answer. */
export function askVersion(url: string): Promise<PostgresVersion> {
  return withClient(url, async (client) => {
    const { rows } = await client.query<{ version: string }>(`select current_setting('server_version_num') as version`);
    return versionFromNumber(Number(rows[0]?.version));
  });
}

/** Makes the database if it is missing. `name` is one of our own fixed names. */
export function ensureDatabase(maintenanceUrl: string, name: string): Promise<void> {
  return withClient(maintenanceUrl, async (client) => {
    const { rowCount } = await client.query('select 1 from pg_database where datname = $1', [name]);
    if (rowCount === 0) await client.query(`create database ${client.escapeIdentifier(name)}`);
  });
}
