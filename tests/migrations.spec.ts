import { readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import pg from 'pg';
import { afterAll, beforeAll, describe, expect, inject, it } from 'vitest';
import { ALL_MIGRATIONS } from '../migrations/all.js';
import { ALL_ENTITIES } from '../src/app.module.js';
import { MIGRATIONS_TABLE, ownerDataSource } from '../src/platform/db/data-source.js';
import { prepareDatabase, undoNewestMigration } from '../src/platform/db/prepare-database.js';
import { onDatabase } from './support/cluster.js';
import { readSchema, type SchemaCatalogue } from './support/schema-catalogue.js';

const schemaFile = join(import.meta.dirname, '..', 'migrations', 'schema.json');
const name = `as_noted_migrations_${process.pid}`;
let maintenance: pg.Client;
let url: string;

async function schemaNow(): Promise<SchemaCatalogue> {
  const client = new pg.Client({ connectionString: url });
  await client.connect();
  try {
    return await readSchema(client);
  } finally {
    await client.end();
  }
}

describe('the migrations', () => {
  beforeAll(async () => {
    const server = inject('testServer');
    maintenance = new pg.Client({ connectionString: server.url });
    await maintenance.connect();
    await maintenance.query(`drop database if exists ${name}`);
    await maintenance.query(`create database ${name}`);
    url = onDatabase(server.url, name);
    await prepareDatabase(url, ALL_MIGRATIONS);
  });

  afterAll(async () => {
    await maintenance.query(`drop database if exists ${name} with (force)`);
    await maintenance.end();
  });

  it('all applied give exactly the schema in migrations/schema.json', async () => {
    const schema = await schemaNow();
    // Run the suite once with AS_NOTED_WRITE_SCHEMA=1 after a new migration, and read the difference before committing it.
    if (process.env['AS_NOTED_WRITE_SCHEMA'] === '1') writeFileSync(schemaFile, `${JSON.stringify(schema, null, 1)}\n`);
    expect(schema).toEqual(JSON.parse(readFileSync(schemaFile, 'utf8')));
  });

  it('put a forced wall around every table that holds a tenant', async () => {
    const { tables } = await schemaNow();
    const holding = Object.entries(tables).filter(([, table]) => 'tenant_id' in table.columns);
    expect(holding.length).toBeGreaterThan(15);
    expect(
      holding.filter(([, table]) => table.rowSecurity !== 'forced' || Object.keys(table.policies).length === 0),
    ).toEqual([]);
  });

  it('let nobody but the owner change events or assessments', async () => {
    const { tables } = await schemaNow();
    expect(tables['claim_event']?.grants).toBe('insert, select');
    expect(tables['claim_assessment']?.grants).toBe('insert, select');
    expect(tables['inspection_answer']?.grants).toBe('insert, select');
  });

  it('agree with what the entities say, but for what entities cannot say', async () => {
    const source = await ownerDataSource(url, [], ALL_ENTITIES).initialize();
    try {
      const log = await source.driver.createSchemaBuilder().log();
      const differences = log.upQueries.map(({ query }) => query).filter((query) => !unspoken(query));
      expect(differences).toEqual([]);
    } finally {
      await source.destroy();
    }
  });

  it('come off one by one, and the newest goes on again with the same result', async () => {
    const before = await schemaNow();
    expect(await undoNewestMigration(url, ALL_MIGRATIONS)).toBe(ALL_MIGRATIONS.at(-1)?.name);
    expect(await schemaNow()).not.toEqual(before);
    await prepareDatabase(url, ALL_MIGRATIONS);
    expect(await schemaNow()).toEqual(before);
    for (let left = ALL_MIGRATIONS.length; left > 0; left -= 1) await undoNewestMigration(url, ALL_MIGRATIONS);
    expect(Object.keys((await schemaNow()).tables)).toEqual([MIGRATIONS_TABLE]);
    await prepareDatabase(url, ALL_MIGRATIONS);
    expect(await schemaNow()).toEqual(before);
  });
});

/**
 * Indexes, checks, foreign keys across modules, composite unique keys and names of primary keys live in the migrations only: between modules a
 * relation is an id column. Ids are made by the service, and where a migration gives one a default it is for people with a SQL prompt. What
 * remains comparable is tables, columns, types, nullability and other defaults.
 */
function unspoken(query: string): boolean {
  return /DROP INDEX|DROP CONSTRAINT|ADD CONSTRAINT|CREATE (UNIQUE )?INDEX|ALTER COLUMN "id" (DROP|SET) DEFAULT/.test(
    query,
  );
}
