import pg from 'pg';
import { DataSource, type EntitySchema, type MigrationInterface } from 'typeorm';
import { PostgresNaming } from './naming.js';
import { PreparingClient } from './preparing-client.js';

/** The role that the service works under. It owns nothing, so row-level security binds it. */
export const APP_ROLE = 'as_noted_app';

/** Where the migration runner notes what has been applied. */
export const MIGRATIONS_TABLE = 'schema_migration';

export type EntityClass = (new () => object) | EntitySchema;
export type MigrationClass = new () => MigrationInterface;

export interface AppConnection {
  /** Connection string of the database owner; the connections themselves run under APP_ROLE. */
  readonly url: string;
  readonly entities: readonly EntityClass[];
  readonly poolSize: number;
  readonly statementTimeoutMs: number;
}

// Without this a raw query turns `date` into an instant at local midnight, which is another day in some zones.
pg.types.setTypeParser(pg.types.builtins.DATE, (text: string) => text);

/** A data source for the service itself: not the owner, bounded statements. Not connected yet. */
export function appDataSource(connection: AppConnection): DataSource {
  return new DataSource({
    type: 'postgres',
    url: underRole(connection.url, APP_ROLE),
    entities: [...connection.entities],
    namingStrategy: new PostgresNaming(),
    poolSize: connection.poolSize,
    applicationName: 'as-noted',
    synchronize: false,
    logging: false,
    extra: {
      Client: PreparingClient,
      statement_timeout: connection.statementTimeoutMs,
      idle_in_transaction_session_timeout: connection.statementTimeoutMs * 2,
      connectionTimeoutMillis: 10_000,
    },
  });
}

/** A data source of the database owner, for migrations and schema comparison only. Not connected yet. */
export function ownerDataSource(
  url: string,
  migrations: readonly MigrationClass[],
  entities: readonly EntityClass[] = [],
): DataSource {
  return new DataSource({
    type: 'postgres',
    url,
    entities: [...entities],
    migrations: [...migrations],
    migrationsTableName: MIGRATIONS_TABLE,
    migrationsTransactionMode: 'each',
    namingStrategy: new PostgresNaming(),
    poolSize: 2,
    applicationName: 'as-noted migrations',
    synchronize: false,
    logging: false,
  });
}

/**
 * Adds the start-up option that puts a connection under a role. It goes into the connection string itself, because options
 * written there would win over options given beside it, and the service would silently run as owner.
 */
export function underRole(url: string, role: string): string {
  const parsed = new URL(url);
  const given = parsed.searchParams.get('options');
  parsed.searchParams.set('options', `${given === null ? '' : `${given} `}-c role=${role}`);
  // The driver reads the query with decodeURIComponent, which leaves a plus sign as it is.
  parsed.search = parsed.search.replaceAll('+', '%20');
  return parsed.href;
}
