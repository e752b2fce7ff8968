import { randomUUID } from 'node:crypto';
import { Injectable, type BeforeApplicationShutdown, type OnApplicationBootstrap } from '@nestjs/common';
import { PgBoss, type Job, type JobResult } from 'pg-boss';
import type { EntityManager } from 'typeorm';
import type { Config } from '../config/config.js';
import { InjectConfig } from '../config/inject-config.js';
import { Database } from '../db/database.js';
import { InjectLog } from '../telemetry/inject-log.js';
import type { Log } from '../telemetry/log.js';
import { Metrics } from '../telemetry/metrics.js';
import { inContext } from '../telemetry/request-context.js';
import { JOB_SCHEMA } from './job-schema.js';

/** What a job is about: the tenant and ids, never copies of data and never ambient state. */
export interface JobPayload {
  /** uuid */
  readonly tenant: string;
  readonly [id: string]: string | number | boolean | null;
}

export type JobWork = (payload: JobPayload) => Promise<void>;

export interface JobOptions {
  /** How often a failed job is run again before it goes to the dead letters. Default 5. */
  readonly retries?: number;
  /** Seconds before the first repetition; doubles each time, up to ten minutes. Default 2. */
  readonly retryDelaySeconds?: number;
  /** Jobs of this name that this process runs side by side. Default 1. */
  readonly atOnce?: number;
  /** Seconds after which a job that still runs counts as lost. Default 300. */
  readonly timeLimitSeconds?: number;
}

export interface EnqueueOptions {
  /** Not before this instant. */
  readonly notBefore?: Temporal.Instant;
  /** While a job of this name and key waits, a second one is not added. */
  readonly once?: string;
}

interface Handler {
  readonly work: JobWork;
  readonly options: JobOptions;
}

/** A process that dies in the middle of a job is noticed after this many seconds without a sign of life. pg-boss takes no less. */
const HEARTBEAT_SECONDS = 10;
const POLL_SECONDS = 0.5;
/** Jobs taken up at a time. With one at a time a worker would pause between jobs and do no more than two a second. */
const BATCH = 8;

/**
 * Work that is put off until after the answer. A job row is written in the caller's own transaction, so it exists exactly when
 * the thing it is about exists. Each name has exactly one handler; each job runs at least once, so handlers must bear repetition.
 */
@Injectable()
export class Jobs implements OnApplicationBootstrap, BeforeApplicationShutdown {
  private readonly handlers = new Map<string, Handler>();
  private boss: PgBoss | undefined;
  private working = false;

  constructor(
    @InjectConfig() private readonly config: Config,
    @InjectLog() private readonly log: Log,
    private readonly db: Database,
    metrics: Metrics,
  ) {
    metrics.gauge('jobs_waiting', 'Jobs that wait to be run, by queue.', 'queue', () => this.waiting());
  }

  /** Whether this process works jobs off. */
  get running(): boolean {
    return this.working;
  }

  /**
   * Says who does the jobs of a name. Call it in a constructor or onModuleInit.
   * @throws Error on a second handler for the same name, or after the start.
   */
  handle(name: string, work: JobWork, options: JobOptions = {}): void {
    if (this.boss !== undefined) throw new Error(`handlers must be known before the start: ${name}`);
    if (this.handlers.has(name)) throw new Error(`two handlers for the job ${name}`);
    this.handlers.set(name, { work, options });
  }

  /**
   * Adds a job inside a transaction: it will run if and only if that transaction commits.
   * @throws Error when nobody handles the name.
   */
  async enqueue(tx: EntityManager, name: string, payload: JobPayload, options: EnqueueOptions = {}): Promise<void> {
    if (!this.handlers.has(name)) throw new Error(`nobody handles the job ${name}`);
    if (this.boss === undefined) throw new Error('jobs can be added once the service has started');
    await this.boss.send(queueName(name), payload, {
      ...(options.notBefore === undefined ? {} : { startAfter: new Date(options.notBefore.epochMilliseconds) }),
      // Queues hold one waiting job for each key; a job that may wait beside others gets a key of its own.
      singletonKey: options.once ?? randomUUID(),
      db: {
        executeSql: async (text: string, values?: unknown[]) => {
          const run = tx.queryRunner;
          if (run === undefined) throw new Error('a job needs an open transaction');
          return { rows: (await run.query(text, values, true)).records };
        },
      },
    });
  }

  async onApplicationBootstrap(): Promise<void> {
    if (this.config.databaseUrl === undefined) throw new Error('the job side needs a database');
    const works = this.config.runs !== 'api';
    const boss = new PgBoss({
      connectionString: this.config.databaseUrl,
      schema: JOB_SCHEMA,
      application_name: 'as-noted jobs',
      max: works ? 4 : 2,
      migrate: false,
      createSchema: false,
      schedule: false,
      supervise: works,
      superviseIntervalSeconds: 5,
      monitorIntervalSeconds: 5,
      registerInstance: false,
      instanceName: `as-noted ${this.config.runs}`,
    });
    boss.on('error', (error) => this.log.error({ err: error }, 'the job side has trouble'));
    await boss.start();
    for (const [name, handler] of this.handlers) await declareQueue(boss, name, handler.options);
    await this.reportOrphans(boss);
    this.boss = boss;
    if (!works) return;
    for (const [name, handler] of this.handlers) {
      await boss.work(
        queueName(name),
        {
          pollingIntervalSeconds: POLL_SECONDS,
          localConcurrency: handler.options.atOnce ?? 1,
          batchSize: BATCH,
          burstWhenBatchFull: true,
          perJobResults: true,
        },
        (jobs: Job<JobPayload>[]) => this.runEach(name, handler, jobs),
      );
    }
    this.working = true;
  }

  /** Lets running jobs finish for up to ten seconds; what is cut off is run again by the next process. */
  async beforeApplicationShutdown(): Promise<void> {
    const boss = this.boss;
    this.boss = undefined;
    this.working = false;
    await boss?.stop({ graceful: true, close: true, timeout: 10_000 });
  }

  /** Jobs that wait, by queue; dead letters under their own names. Counted now, not from a cache. */
  async waiting(): Promise<Readonly<Record<string, number>>> {
    const rows = await this.db.outside((tx) =>
      tx.query<{ name: string; count: string }[]>(
        `select name, count(*) from ${JOB_SCHEMA}.job where state in ('created', 'retry') group by name`,
      ),
    );
    return Object.fromEntries(rows.map((row) => [row.name, Number(row.count)]));
  }

  /**
   * Works off, here and now, everything that is due, also what these jobs add: for the command line and for tests, which have
   * no worker beside them. @returns how many jobs were done. @throws the first error of a job, after it went back to the queue.
   */
  async workOff(): Promise<number> {
    const boss = this.boss;
    if (boss === undefined) throw new Error('jobs can be worked off once the service has started');
    let done = 0;
    for (let before = -1; before !== done;) {
      before = done;
      for (const [name, handler] of this.handlers) {
        for (const job of await boss.fetch<JobPayload>(queueName(name), { batchSize: 100 })) {
          try {
            await this.run(name, handler, job);
          } catch (error) {
            await boss.fail(queueName(name), job.id, { message: String(error) });
            throw error;
          }
          await boss.complete(queueName(name), job.id);
          done += 1;
        }
      }
    }
    return done;
  }

  /** One after another; one that fails goes back alone. */
  private async runEach(name: string, handler: Handler, jobs: readonly Job<JobPayload>[]): Promise<JobResult[]> {
    const results: JobResult[] = [];
    for (const job of jobs) {
      try {
        await this.run(name, handler, job);
        results.push({ id: job.id, status: 'completed' });
      } catch (error) {
        results.push({ id: job.id, status: 'failed', output: { message: String(error) } });
      }
    }
    return results;
  }

  private async run(name: string, handler: Handler, job: Job<JobPayload>): Promise<void> {
    const context = { requestId: `job-${job.id}`, tenant: job.data.tenant, actor: 'service' };
    await inContext(context, async () => {
      try {
        await handler.work(job.data);
        this.log.info({ job: name }, 'job done');
      } catch (error) {
        this.log.warn({ job: name, err: error }, 'job failed; it will be tried again or put aside');
        throw error;
      }
    });
  }

  /** A name that lost its handler leaves its jobs lying: somebody must know. */
  private async reportOrphans(boss: PgBoss): Promise<void> {
    const known = new Set([...this.handlers.keys()].flatMap((name) => [queueName(name), deadName(name)]));
    for (const queue of await boss.getQueues()) {
      if (known.has(queue.name)) continue;
      const left = await boss.findJobs(queue.name, { queued: true, limit: 1 });
      if (left.length > 0) this.log.error({ queue: queue.name }, 'jobs wait under a name that nobody handles any more');
    }
  }
}

async function declareQueue(boss: PgBoss, name: string, options: JobOptions): Promise<void> {
  await boss.createQueue(deadName(name));
  await boss.createQueue(queueName(name), {
    policy: 'short',
    retryLimit: options.retries ?? 5,
    retryDelay: options.retryDelaySeconds ?? 2,
    retryBackoff: true,
    retryDelayMax: 600,
    expireInSeconds: options.timeLimitSeconds ?? 300,
    heartbeatSeconds: HEARTBEAT_SECONDS,
    deadLetter: deadName(name),
  });
}

/** pg-boss takes letters, digits, hyphens, underscores, dots and slashes. */
function queueName(name: string): string {
  return name.replaceAll(/[^A-Za-z0-9_.\-/]/g, '-');
}

function deadName(name: string): string {
  return `${queueName(name)}.dead`;
}
