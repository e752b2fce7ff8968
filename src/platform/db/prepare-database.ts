import type { DataSource, QueryRunner } from 'typeorm';
import { jobSchema } from '../jobs/job-schema.js';
import { APP_ROLE, MIGRATIONS_TABLE, ownerDataSource, type MigrationClass } from './data-source.js';
import { databaseFault } from './database-errors.js';

/** Any fixed number will do; it must only differ from other advisory locks taken in the same database. */
const LOCK = 7_204_110;

/**
 * Brings a database up to date as its owner: the application role, all migrations, the job tables. Two processes may do so at
 * once: the second waits for the first and then finds nothing to do.
 * @param url connection string of the owner
 * @returns the names of the migrations applied now
 */
export async function prepareDatabase(url: string, migrations: readonly MigrationClass[]): Promise<readonly string[]> {
  return underLock(url, migrations, async (owner, run) => {
    await ensureAppRole(run);
    const applied = await owner.runMigrations({ transaction: 'each' });
    await run.query(`grant select on ${MIGRATIONS_TABLE} to ${APP_ROLE}`);
    await jobSchema(url, run);
    return applied.map((migration) => migration.name);
  });
}

/** Takes back the newest migration. @returns its name, or undefined when none was left */
export async function undoNewestMigration(
  url: string,
  migrations: readonly MigrationClass[],
): Promise<string | undefined> {
  return underLock(url, migrations, async (owner, run) => {
    const [newest] = await appliedMigrations(run);
    if (newest !== undefined) await owner.undoLastMigration({ transaction: 'each' });
    return newest;
  });
}

async function appliedMigrations(run: QueryRunner): Promise<string[]> {
  if (!(await run.hasTable(MIGRATIONS_TABLE))) return [];
  const rows: { name: string }[] = await run.query(`select name from ${MIGRATIONS_TABLE} order by id desc`);
  return rows.map((row) => row.name);
}

async function underLock<T>(
  url: string,
  migrations: readonly MigrationClass[],
  work: (owner: DataSource, run: QueryRunner) => Promise<T>,
): Promise<T> {
  const owner = await ownerDataSource(url, migrations).initialize();
  const run = owner.createQueryRunner();
  try {
    await run.query(`select pg_advisory_lock(${LOCK})`);
    return await work(owner, run);
  } finally {
    await run.query(`select pg_advisory_unlock(${LOCK})`).catch(() => undefined);
    await run.release();
    await owner.destroy();
  }
}

/**
 * Roles belong to the whole server while the lock belongs to one database, so another database's start may create the role
 * between the look and the creation; that is no fault.
 */
async function ensureAppRole(run: QueryRunner): Promise<void> {
  const found: unknown[] = await run.query(`select 1 from pg_roles where rolname = $1`, [APP_ROLE]);
  if (found.length === 0) await tolerant(run, `create role ${APP_ROLE} nologin`);
  // From PostgreSQL 16 on, being a member does not by itself allow SET ROLE.
  const rows: { may: boolean }[] = await run.query(
    `select pg_has_role(current_user, $1,
       case when current_setting('server_version_num')::int >= 160000 then 'SET' else 'MEMBER' end) may`,
    [APP_ROLE],
  );
  if (rows[0]?.may !== true) await tolerant(run, `grant ${APP_ROLE} to current_user`);
}

async function tolerant(run: QueryRunner, statement: string): Promise<void> {
  try {
    await run.query(statement);
  } catch (error) {
    // 42710 duplicate object, 23505 the same seen by the catalogue's unique index, XX000 tuple concurrently updated.
    if (!['42710', '23505', 'XX000'].includes(databaseFault(error)?.state ?? '')) throw error;
  }
}
