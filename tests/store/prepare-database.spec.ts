import pg from 'pg';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { ALL_MIGRATIONS } from '../../migrations/all.js';
import { APP_ROLE, MIGRATIONS_TABLE, underRole } from '../../src/platform/db/data-source.js';
import { prepareDatabase } from '../../src/platform/db/prepare-database.js';
import { freshDatabase } from '../support/test-database.js';

const data = freshDatabase();
const name = `prepare_${process.pid}`;
let url: string;

async function asAdmin(sql: string): Promise<void> {
  await data().rows(sql);
}

beforeAll(async () => {
  await asAdmin(`create database ${name}`);
  const parsed = new URL(data().url);
  parsed.pathname = `/${name}`;
  url = parsed.href;
});
afterAll(() => asAdmin(`drop database ${name} with (force)`));

describe('preparing a database', () => {
  it('may be done by three processes at once; each step is applied once', async () => {
    const applied = await Promise.all([1, 2, 3].map(() => prepareDatabase(url, ALL_MIGRATIONS)));
    const names = applied.flat();
    expect(names).toHaveLength(ALL_MIGRATIONS.length);
    expect(new Set(names).size).toBe(names.length);
    expect(await prepareDatabase(url, ALL_MIGRATIONS)).toEqual([]);
  });

  it('lets the service read what was applied, and add jobs, but make no tables', async () => {
    const client = new pg.Client({ connectionString: underRole(url, APP_ROLE) });
    await client.connect();
    const applied = await client.query(`select name from ${MIGRATIONS_TABLE}`);
    expect(applied.rowCount).toBe(ALL_MIGRATIONS.length);
    await client.query('select count(*) from pgboss.job');
    await expect(client.query('create table public.mine (id int)')).rejects.toMatchObject({ code: '42501' });
    await expect(client.query(`delete from ${MIGRATIONS_TABLE}`)).rejects.toMatchObject({ code: '42501' });
    await client.end();
  });
});

describe('an owner that is no superuser, as with rented databases', () => {
  const owner = `owner_${process.pid}`;

  it('can prepare the database and run the service under the narrower role', async () => {
    await asAdmin(`create role ${owner} login createrole password 'only-for-this-test'`);
    await asAdmin(`grant ${APP_ROLE} to ${owner}`);
    await asAdmin(`create database ${owner} owner ${owner}`);
    const parsed = new URL(data().url);
    parsed.username = owner;
    parsed.password = 'only-for-this-test';
    parsed.pathname = `/${owner}`;
    try {
      expect(await prepareDatabase(parsed.href, ALL_MIGRATIONS)).toHaveLength(ALL_MIGRATIONS.length);
      const client = new pg.Client({ connectionString: underRole(parsed.href, APP_ROLE) });
      await client.connect();
      const rows = await client.query<{ current_user: string }>('select current_user');
      expect(rows.rows).toEqual([{ current_user: APP_ROLE }]);
      await client.end();
    } finally {
      await asAdmin(`drop database ${owner} with (force)`);
      await asAdmin(`drop role ${owner}`);
    }
  });
});

describe('the connection string under a role', () => {
  it('keeps what was there and puts the role last, so that nothing given before wins', () => {
    const made = new URL(
      underRole('postgres://u:p%2Bw+x@h:1/d?options=-c%20role%3Dpostgres&sslmode=require', APP_ROLE),
    );
    expect(made.searchParams.get('options')).toBe(`-c role=postgres -c role=${APP_ROLE}`);
    expect(made.searchParams.get('sslmode')).toBe('require');
    expect(made.password).toBe('p%2Bw+x');
    expect(made.search).not.toContain('+');
  });
});
