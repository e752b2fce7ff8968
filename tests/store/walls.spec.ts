import { randomUUID } from 'node:crypto';
import { afterAll, beforeAll, beforeEach, describe, expect, it } from 'vitest';
import { ACCESS_ENTITIES } from '../../src/access/access.module.js';
import { PersonRow } from '../../src/access/store/access.entities.js';
import { APP_ROLE, appDataSource } from '../../src/platform/db/data-source.js';
import { databaseFault } from '../../src/platform/db/database-errors.js';
import { Database } from '../../src/platform/db/database.js';
import { person, retailer, tenant, visit } from '../support/tenants.js';
import { freshDatabase } from '../support/test-database.js';

const data = freshDatabase();
let db: Database;

function open(poolSize: number): Database {
  return new Database(
    appDataSource({ url: data().url, entities: ACCESS_ENTITIES, poolSize, statementTimeoutMs: 10_000 }),
  );
}

beforeAll(async () => {
  db = open(3);
  await db.onModuleInit();
});
afterAll(() => db.onApplicationShutdown());

let here: string;
let there: string;
beforeEach(async () => {
  here = await tenant(data());
  there = await tenant(data());
});

const namesIn = (scope: string): Promise<string[]> =>
  db.inTenant({ tenant: scope }, async (tx) =>
    (await tx.query<{ id: string }[]>('select id from person')).map((row) => row.id),
  );

describe('the wall between tenants', () => {
  it('shows a tenant its own rows and nobody else any, even without a where clause', async () => {
    const own = await person(data(), here, ['analyst']);
    expect(await namesIn(here)).toEqual([own.id]);
    expect(await namesIn(there)).toEqual([]);
  });

  it('shows nothing at all when no tenant is named', async () => {
    await person(data(), here, ['analyst']);
    const rows = await db.outside((tx) => tx.query<unknown[]>('select * from person'));
    expect(rows).toEqual([]);
  });

  it('refuses a row written for another tenant (42501)', async () => {
    const write = db.inTenant({ tenant: here }, (tx) =>
      tx.insert(PersonRow, {
        tenantId: there,
        retailerId: null,
        name: 'Nobody',
        email: 'n@example.test',
        passwordHash: 'x',
        roles: ['crew'],
      }),
    );
    await expect(write).rejects.toSatisfy((error) => databaseFault(error)?.state === '42501');
  });

  it('changes and deletes no row of another tenant', async () => {
    const own = await person(data(), here, ['analyst']);
    await db.inTenant({ tenant: there }, async (tx) => {
      await tx.query(`update person set name = 'taken' where id = $1`, [own.id]);
      await tx.query('delete from person where id = $1', [own.id]);
    });
    const rows = await data().rows<{ name: string }>('select name from person where id = $1', [own.id]);
    expect(rows[0]?.name).not.toBe('taken');
    expect(rows).toHaveLength(1);
  });

  it('does not let a moved row slip to another tenant', async () => {
    const own = await person(data(), here, ['analyst']);
    const move = db.inTenant({ tenant: here }, (tx) =>
      tx.query('update person set tenant_id = $2 where id = $1', [own.id, there]),
    );
    await expect(move).rejects.toSatisfy((error) => databaseFault(error)?.state === '42501');
  });

  it('keeps forty mixed transactions over three connections apart', async () => {
    const [mine, theirs] = [await person(data(), here, ['analyst']), await person(data(), there, ['analyst'])];
    const seen = await Promise.all(
      Array.from({ length: 40 }, async (_, n) => ({ n, ids: await namesIn(n % 2 === 0 ? here : there) })),
    );
    for (const { n, ids } of seen) expect(ids).toEqual([n % 2 === 0 ? mine.id : theirs.id]);
    expect(await db.outside((tx) => tx.query<unknown[]>('select * from person'))).toEqual([]);
  });

  it('leaves no scope on a connection whose transaction failed', async () => {
    await person(data(), here, ['analyst']);
    const one = open(1);
    await one.onModuleInit();
    await expect(one.inTenant({ tenant: here }, (tx) => tx.query('select 1/0'))).rejects.toThrow();
    expect(await one.outside((tx) => tx.query<unknown[]>('select * from person'))).toEqual([]);
    await one.onApplicationShutdown();
  });
});

describe('every table with a tenant', () => {
  it('has row-level security enabled and forced, and the service owns none of them', async () => {
    const rows = await data().rows<{ name: string; enabled: boolean; forced: boolean; owner: string }>(
      `select c.relname name, c.relrowsecurity enabled, c.relforcerowsecurity forced, pg_get_userbyid(c.relowner) owner
       from pg_class c join pg_namespace n on n.oid = c.relnamespace
       where n.nspname = 'public' and c.relkind in ('r', 'p')
         and exists (select 1 from pg_attribute a where a.attrelid = c.oid and a.attname = 'tenant_id' and not a.attisdropped)`,
    );
    expect(rows.length).toBeGreaterThan(10);
    for (const row of rows) expect(row).toMatchObject({ enabled: true, forced: true });
    expect(rows.filter((row) => row.owner === APP_ROLE)).toEqual([]);
  });

  it('is served under a role that can neither bypass row-level security nor sign in', async () => {
    const rows = await data().rows('select rolsuper, rolbypassrls, rolcanlogin from pg_roles where rolname = $1', [
      APP_ROLE,
    ]);
    expect(rows).toEqual([{ rolsuper: false, rolbypassrls: false, rolcanlogin: false }]);
  });
});

describe('the narrower walls', () => {
  it('show a retailer only its own visits, and a crew only its visit', async () => {
    const [first, second] = [await retailer(data(), here), await retailer(data(), here)];
    const [a, b] = [await visit(data(), here, first), await visit(data(), here, second)];
    const ids = (scope: Parameters<Database['inTenant']>[0]): Promise<string[]> =>
      db.inTenant(scope, async (tx) =>
        (await tx.query<{ id: string }[]>('select id from visit order by id')).map((row) => row.id),
      );
    expect(await ids({ tenant: here })).toEqual([a, b].sort());
    expect(await ids({ tenant: here, retailer: first })).toEqual([a]);
    expect(await ids({ tenant: here, visit: b })).toEqual([b]);
    expect(await ids({ tenant: there, visit: b })).toEqual([]);
  });

  it('open for one step and close again, also after a failure', async () => {
    const [first, second] = [await retailer(data(), here), await retailer(data(), here)];
    await visit(data(), here, first);
    await visit(data(), here, second);
    const count = 'select count(*)::int n from visit';
    await db.inTenant({ tenant: here, retailer: first }, async (tx) => {
      expect(await tx.query(count)).toEqual([{ n: 1 }]);
      await db.widened(tx, async (wide) => expect(await wide.query(count)).toEqual([{ n: 2 }]));
      expect(await tx.query(count)).toEqual([{ n: 1 }]);
      await expect(db.widened(tx, () => Promise.reject(new Error('no')))).rejects.toThrow('no');
      expect(await tx.query(count)).toEqual([{ n: 1 }]);
    });
  });
});

describe('a credential', () => {
  it('finds its own row before the tenant is known, and nothing else', async () => {
    const own = await person(data(), here, ['analyst']);
    await person(data(), here, ['analyst']);
    const rows = await db.byCredential(own.email, (tx) => tx.query<{ id: string }[]>('select id from person'));
    expect(rows).toEqual([{ id: own.id }]);
  });

  it('does not open other tenants once a tenant is known', async () => {
    const other = await person(data(), there, ['analyst']);
    const rows = await db.byCredential(other.email, async (tx) => {
      await db.enter(tx, { tenant: here });
      return tx.query<unknown[]>('select id from person');
    });
    expect(rows).toEqual([]);
  });
});

describe('what stands behind a secret', () => {
  const session = { table: 'session', column: 'token_hash' } as const;

  it('is read in its own tenant, and nothing is read for a secret that does not exist', async () => {
    const [own, other] = [await person(data(), here, ['analyst']), await person(data(), there, ['analyst'])];
    const hash = Buffer.alloc(32, 7);
    await data().rows('insert into session (token_hash, tenant_id, person_id, expires_at) values ($1, $2, $3, now())', [
      hash,
      here,
      own.id,
    ]);
    const everybody =
      'select string_agg(id::text, $$ $$) ids, (select count(*)::int from session) sessions from person';
    expect(await db.behind(hash, session, everybody)).toEqual({ ids: own.id, sessions: 1 });
    expect(await db.behind(Buffer.alloc(32, 8), session, everybody)).toEqual({ ids: null, sessions: 0 });
    expect(await db.behind(hash, session, 'select 1 from session where token_hash <> :hash')).toBeUndefined();
    expect(other.id).not.toBe(own.id);
  });

  it('leaves neither scope nor transaction on the connection, also when it fails', async () => {
    const own = await person(data(), here, ['analyst']);
    const hash = Buffer.alloc(32, 9);
    await data().rows('insert into session (token_hash, tenant_id, person_id, expires_at) values ($1, $2, $3, now())', [
      hash,
      here,
      own.id,
    ]);
    const one = open(1);
    await one.onModuleInit();
    const nothing = (): Promise<unknown[]> => one.outside((tx) => tx.query<unknown[]>('select * from person'));
    await one.behind(hash, session, 'select 1');
    expect(await nothing()).toEqual([]);
    await expect(one.behind(hash, session, 'select 1/0')).rejects.toThrow('division by zero');
    expect(await nothing()).toEqual([]);
    await expect(one.behind(hash, session, 'delete from session returning 1')).rejects.toThrow('read-only');
    await one.onApplicationShutdown();
  });
});

describe('transactions', () => {
  it('are joined by the same scope and refused to another one', async () => {
    await db.inTenant({ tenant: here }, async (outer) => {
      await db.inTenant({ tenant: here }, async (inner) => expect(inner).toBe(outer));
      await expect(db.inTenant({ tenant: there }, () => Promise.resolve())).rejects.toThrow('another scope');
    });
  });

  it('are not written through after they have ended', async () => {
    let late: (() => Promise<unknown>) | undefined;
    const own = await person(data(), here, ['analyst']);
    await db.inTenant({ tenant: here }, async () => {
      late = () => namesIn(here);
    });
    expect(await late?.()).toEqual([own.id]);
  });

  it('are run again after a deadlock, so that both sides get through', async () => {
    const [a, b] = [await person(data(), here, ['crew']), await person(data(), here, ['crew'])];
    let waiting = 0;
    let release: () => void = () => undefined;
    const bothHoldOne = new Promise<void>((resolve) => {
      release = resolve;
    });
    const cross = (first: string, second: string): Promise<number> => {
      let runs = 0;
      return db.inTenant({ tenant: here }, async (tx) => {
        runs += 1;
        await tx.query(`update person set name = name || '+' where id = $1`, [first]);
        waiting += 1;
        if (waiting >= 2) release();
        await bothHoldOne;
        await tx.query(`update person set name = name || '+' where id = $1`, [second]);
        return runs;
      });
    };
    const runs = await Promise.all([cross(a.id, b.id), cross(b.id, a.id)]);
    expect(runs.reduce((sum, n) => sum + n)).toBeGreaterThan(2);
    const rows = await data().rows<{ name: string }>(`select name from person where name like '%++'`);
    expect(rows).toHaveLength(2);
  });

  it('refuse to start on a connection that is not under the application role', async () => {
    const owner = new Database(
      appDataSource({ url: data().url, entities: [], poolSize: 1, statementTimeoutMs: 1000 }).setOptions({
        url: data().url,
      }),
    );
    await expect(owner.onModuleInit()).rejects.toThrow(/not as as_noted_app/);
    await owner.onApplicationShutdown();
  });

  it('read dates as dates, not as instants', async () => {
    expect(await db.outside((tx) => tx.query(`select date '2026-03-29' on_day`))).toEqual([{ on_day: '2026-03-29' }]);
  });

  it('leave the scope of unknown ids empty', async () => {
    expect(await namesIn(randomUUID())).toEqual([]);
  });
});
