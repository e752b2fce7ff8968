import { Injectable, Module } from '@nestjs/common';
import { afterEach, describe, expect, it } from 'vitest';
import { Database } from '../../src/platform/db/database.js';
import { Jobs, type JobPayload } from '../../src/platform/jobs/jobs.js';
import { currentContext } from '../../src/platform/telemetry/request-context.js';
import { tenant } from '../support/tenants.js';
import { testApp, type TestApp } from '../support/test-app.js';
import { freshDatabase } from '../support/test-database.js';

const data = freshDatabase();
const done: { payload: JobPayload; context: unknown }[] = [];
let fail = 0;
let wake: () => void = () => undefined;

@Injectable()
class Worker {
  constructor(jobs: Jobs) {
    jobs.handle(
      'make a rendition',
      async (payload) => {
        if (fail > 0) {
          fail -= 1;
          throw new Error('not today');
        }
        done.push({ payload, context: { ...currentContext() } });
        wake();
      },
      { retries: 1, retryDelaySeconds: 1 },
    );
  }
}

@Module({ providers: [Worker] })
class WorkModule {}

let open: TestApp | undefined;
async function start(runs: 'api' | 'worker'): Promise<{ jobs: Jobs; db: Database; test: TestApp }> {
  done.length = 0;
  fail = 0;
  open = await testApp(data().url, { modules: [WorkModule], env: { AS_NOTED_RUNS: runs, AS_NOTED_LOG_LEVEL: 'info' } });
  return { jobs: open.app.get(Jobs), db: open.app.get(Database), test: open };
}
afterEach(async () => {
  await open?.app.close();
  open = undefined;
});

const waiting = async (): Promise<string[]> =>
  (await data().rows<{ name: string }>(`select name from pgboss.job where state in ('created', 'retry')`)).map(
    (row) => row.name,
  );

describe('a job', () => {
  it('exists exactly when the transaction that added it commits', async () => {
    const { jobs, db } = await start('api');
    const home = await tenant(data());
    await db.inTenant({ tenant: home }, (tx) => jobs.enqueue(tx, 'make a rendition', { tenant: home, exhibit: 'a' }));
    const undone = db.inTenant({ tenant: home }, async (tx) => {
      await jobs.enqueue(tx, 'make a rendition', { tenant: home, exhibit: 'b' });
      throw new Error('changed my mind');
    });
    await expect(undone).rejects.toThrow('changed my mind');
    expect(await waiting()).toEqual(['make-a-rendition']);
    expect(await jobs.workOff()).toBe(1);
    expect(done.map((each) => each.payload)).toEqual([{ tenant: home, exhibit: 'a' }]);
    expect(done[0]?.context).toMatchObject({ tenant: home, actor: 'service' });
  });

  it('may wait many times, or once under a key', async () => {
    const { jobs, db } = await start('api');
    const home = await tenant(data());
    await db.inTenant({ tenant: home }, async (tx) => {
      for (let n = 0; n < 3; n += 1) await jobs.enqueue(tx, 'make a rendition', { tenant: home, n });
      for (let n = 0; n < 3; n += 1)
        await jobs.enqueue(tx, 'make a rendition', { tenant: home, n }, { once: 'claim 1' });
    });
    expect(await jobs.workOff()).toBe(4);
  });

  it('is not due before its time', async () => {
    const { jobs, db } = await start('api');
    const home = await tenant(data());
    const notBefore = Temporal.Now.instant().add({ hours: 1 });
    await db.inTenant({ tenant: home }, (tx) => jobs.enqueue(tx, 'make a rendition', { tenant: home }, { notBefore }));
    expect(await jobs.workOff()).toBe(0);
    expect(await waiting()).toHaveLength(1);
  });

  it('that nobody handles cannot be added, and a name has one handler', async () => {
    const { jobs, db } = await start('api');
    const home = await tenant(data());
    const add = db.inTenant({ tenant: home }, (tx) => jobs.enqueue(tx, 'unheard of', { tenant: home }));
    await expect(add).rejects.toThrow('nobody handles the job unheard of');
    expect(() => jobs.handle('late', () => Promise.resolve())).toThrow('before the start');
  });

  it('goes back when it fails', async () => {
    const { jobs, db } = await start('api');
    const home = await tenant(data());
    await db.inTenant({ tenant: home }, (tx) => jobs.enqueue(tx, 'make a rendition', { tenant: home }));
    fail = 1;
    await expect(jobs.workOff()).rejects.toThrow('not today');
    expect(await waiting()).toEqual(['make-a-rendition']);
  });
});

describe('a worker', () => {
  it('does jobs by itself, tries a failed one again, and puts a hopeless one aside', async () => {
    const { jobs, db, test } = await start('worker');
    const home = await tenant(data());
    expect(jobs.running).toBe(true);
    const first = new Promise<void>((resolve) => {
      wake = resolve;
    });
    fail = 1;
    await db.inTenant({ tenant: home }, (tx) => jobs.enqueue(tx, 'make a rendition', { tenant: home, n: 1 }));
    await first;
    expect(done).toHaveLength(1);
    fail = 2;
    await db.inTenant({ tenant: home }, (tx) => jobs.enqueue(tx, 'make a rendition', { tenant: home, n: 2 }));
    await expect.poll(waiting, { timeout: 15_000, interval: 100 }).toContain('make-a-rendition.dead');
    expect(done).toHaveLength(1);
    expect(test.lines.filter((line) => line['msg'] === 'job done')).toHaveLength(1);
    const metrics = await test.app.inject({ url: '/metrics' });
    expect(metrics.body).toContain('jobs_waiting{queue="make-a-rendition.dead"} 1');
    expect((await test.app.inject({ url: '/readyz' })).statusCode).toBe(200);
  });

  it('goes on with the jobs taken up beside one that fails, and tries only that one again', async () => {
    const { jobs, db, test } = await start('worker');
    const home = await tenant(data());
    fail = 1;
    await db.inTenant({ tenant: home }, async (tx) => {
      for (let n = 1; n <= 12; n += 1) await jobs.enqueue(tx, 'make a rendition', { tenant: home, n });
    });
    await expect.poll(() => done.length, { timeout: 15_000, interval: 50 }).toBe(12);
    expect(done.map(({ payload }) => payload['n']).toSorted((a, b) => Number(a) - Number(b))).toEqual(
      Array.from({ length: 12 }, (_, n) => n + 1),
    );
    expect(test.lines.filter((line) => String(line['msg']).startsWith('job failed'))).toHaveLength(1);
    await expect.poll(waiting).toEqual([]);
  });
});
