import { afterEach, describe, expect, it } from 'vitest';
import type { DataSource, QueryRunner } from 'typeorm';
import { appDataSource } from '../../src/platform/db/data-source.js';
import { freshDatabase } from '../support/test-database.js';

const data = freshDatabase();
const open: DataSource[] = [];

async function connection(): Promise<QueryRunner> {
  const source = appDataSource({ url: data().url, entities: [], poolSize: 1, statementTimeoutMs: 5_000 });
  open.push(await source.initialize());
  return source.createQueryRunner();
}

/** What the server itself keeps for this connection (PostgreSQL manual, pg_prepared_statements). */
async function kept(run: QueryRunner): Promise<string[]> {
  const rows = (await run.query('select statement from pg_prepared_statements')) as { statement: string }[];
  return rows.map(({ statement }) => statement);
}

afterEach(async () => {
  for (const source of open.splice(0)) await source.destroy();
});

describe('statements of the service', () => {
  it('are prepared once for each connection, and answer for other parameters', async () => {
    const run = await connection();
    const answers = [];
    for (const n of [1, 20, 300]) answers.push(await run.query('select $1::int + 1 as next', [n]));
    expect(answers).toEqual([[{ next: 2 }], [{ next: 21 }], [{ next: 301 }]]);
    expect(await kept(run)).toEqual(['select $1::int + 1 as next']);
  });

  it('without parameters are sent as they are', async () => {
    const run = await connection();
    await run.query('select 1');
    await run.query('select 2', []);
    expect(await kept(run)).toEqual([]);
  });

  it('still tell what is wrong with them, and can be used again afterwards', async () => {
    const run = await connection();
    const divide = (by: number): Promise<unknown> => run.query('select 6 / $1::int as part', [by]);
    await expect(divide(0)).rejects.toMatchObject({ driverError: { code: '22012' } });
    expect(await divide(3)).toEqual([{ part: 2 }]);
  });

  it('see the walls of the transaction that they run in, not of the one in which they were prepared', async () => {
    const run = await connection();
    const [first, second] = ['4c1f0f6e-0000-4000-8000-000000000001', '4c1f0f6e-0000-4000-8000-000000000002'];
    await data().rows(`insert into tenant (id, name) values ($1, 'First'), ($2, 'Second')`, [first, second]);
    const seen: unknown[] = [];
    // The server plans anew five times before it may settle on one plan (PostgreSQL manual, PREPARE), so more rounds than that.
    for (let round = 0; round < 8; round += 1) {
      await run.startTransaction();
      await run.query(`select set_config('app.tenant', $1, true)`, [round % 2 === 0 ? first : second]);
      seen.push(await run.query('select name from tenant where name <> $1', ['']));
      await run.commitTransaction();
    }
    expect(seen).toEqual(Array.from({ length: 8 }, (_, n) => [{ name: n % 2 === 0 ? 'First' : 'Second' }]));
  });

  it('stop being prepared when there are too many, and go on working', async () => {
    const run = await connection();
    for (let n = 0; n < 520; n += 1)
      expect(await run.query(`select $1::int as "n${n}"`, [n])).toEqual([{ [`n${n}`]: n }]);
    expect((await kept(run)).length).toBeLessThanOrEqual(500);
  });
});
