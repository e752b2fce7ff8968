import { PgBoss } from 'pg-boss';
import type { QueryRunner } from 'typeorm';
import { APP_ROLE } from '../db/data-source.js';

/** The database schema that holds the job tables. */
export const JOB_SCHEMA = 'pgboss';

/**
 * Creates or migrates the job tables as owner, and lets the application role put jobs in from inside its own transactions.
 * @param url connection string of the owner
 * @param run a connection of the owner
 */
export async function jobSchema(url: string, run: QueryRunner): Promise<void> {
  const boss = new PgBoss({
    connectionString: url,
    schema: JOB_SCHEMA,
    max: 1,
    supervise: false,
    schedule: false,
    registerInstance: false,
  });
  const trouble: Error[] = [];
  boss.on('error', (error) => trouble.push(error));
  await boss.start();
  await boss.stop({ graceful: false, close: true });
  if (trouble[0] !== undefined) throw trouble[0];
  await run.query(`grant usage on schema ${JOB_SCHEMA} to ${APP_ROLE}`);
  await run.query(`grant select, insert, update, delete on all tables in schema ${JOB_SCHEMA} to ${APP_ROLE}`);
  await run.query(`grant execute on all functions in schema ${JOB_SCHEMA} to ${APP_ROLE}`);
}
