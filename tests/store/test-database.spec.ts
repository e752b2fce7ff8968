import { describe, expect, inject, it } from 'vitest';
import { withClient } from '../../src/platform/postgres/connection.js';
import { freshDatabase } from '../support/test-database.js';

const TENANT = '0199a000-0000-7000-8000-000000000001';

describe("a worker's database", () => {
  const database = freshDatabase();
  const count = async (table: string) =>
    (await database().rows<{ n: number }>(`select count(*)::int as n from ${table}`))[0]?.n;

  it('runs on the server of this run', async () => {
    const [row] = await database().rows<{ server_version: string }>('show server_version');
    expect(row?.server_version).toContain(inject('testServer').version);
  });

  it('is migrated, with the role of the service in place', async () => {
    expect(await count('schema_migration')).toBeGreaterThan(0);
    expect(await database().rows(`select rolsuper from pg_roles where rolname = 'as_noted_app'`)).toEqual([
      { rolsuper: false },
    ]);
  });

  it('loses its rows and keeps its migrations, whatever foreign keys and guarding triggers say', async () => {
    await database().rows(`insert into tenant (id, name) values ($1, 'Lindgren Sitzwerk')`, [TENANT]);
    await database().rows(`insert into retailer (tenant_id, name, code) values ($1, 'Haus am Wehr', 'HAW')`, [TENANT]);
    await database().rows(
      `create trigger tenant_fixed before delete on tenant for each row execute function refuse_change()`,
    );
    await expect(database().rows('delete from tenant')).rejects.toThrow();
    const migrations = await count('schema_migration');
    await database().empty();
    await database().rows('drop trigger tenant_fixed on tenant');
    expect([await count('tenant'), await count('retailer'), await count('schema_migration')]).toEqual([
      0,
      0,
      migrations,
    ]);
  });

  it('leaves triggers at work after it was emptied', async () => {
    await database().empty();
    expect(await database().rows('show session_replication_role')).toEqual([{ session_replication_role: 'origin' }]);
  });

  it('leaves the template alone', async () => {
    await database().rows(`insert into tenant (id, name) values ($1, 'Lindgren Sitzwerk')`, [TENANT]);
    const { url, template } = inject('testServer');
    const address = new URL(url);
    address.pathname = `/${template}`;
    const rows = await withClient(address.href, async (client) => (await client.query('select id from tenant')).rows);
    expect(rows).toEqual([]);
  });
});
