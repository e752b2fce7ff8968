import { Injectable, type OnApplicationBootstrap, type OnModuleInit } from '@nestjs/common';
import { HOLIDAYS_CHANGED } from '../../adjudication/adjudication.contract.js';
import { Database } from '../../platform/db/database.js';
import { Jobs } from '../../platform/jobs/jobs.js';
import { LOOK_AT_CLOCKS } from '../claims.service.js';
import { ClockWatchService } from '../clock-watch.service.js';

/** Name of the job that raises warnings and misses. */
export const WATCH_CLOCKS = 'watch-clocks';

/** Every so many seconds somebody looks, so that a warning is out well inside a minute. */
const EVERY_SECONDS = 20;
/** The watch belongs to no tenant. */
const NOBODY = '00000000-0000-0000-0000-000000000000';

/**
 * Raises warnings and misses. One job waits at any time, in the database, for whichever worker comes first; before it does its work it
 * leaves the next one there. So it goes on when a worker dies, and any worker that starts sets it going again.
 */
@Injectable()
export class WatchClocksJob implements OnModuleInit, OnApplicationBootstrap {
  constructor(
    private readonly jobs: Jobs,
    private readonly db: Database,
    private readonly watch: ClockWatchService,
  ) {}

  onModuleInit(): void {
    this.jobs.handle(WATCH_CLOCKS, async () => {
      await this.again(EVERY_SECONDS);
      await this.watch.sweep();
    });
    this.jobs.handle(LOOK_AT_CLOCKS, ({ tenant, claim }) =>
      this.watch.look({ tenantId: tenant, claimId: String(claim) }),
    );
    this.jobs.handle(HOLIDAYS_CHANGED, ({ tenant }) => this.watch.countAnew(tenant));
  }

  async onApplicationBootstrap(): Promise<void> {
    if (this.jobs.running) await this.again(0);
  }

  /** The job runner waits by the time of the machine, which is not the service's where a test or a replay moves that. */
  private async again(seconds: number): Promise<void> {
    const notBefore = Temporal.Now.instant().add({ seconds });
    await this.db.outside((tx) =>
      this.jobs.enqueue(tx, WATCH_CLOCKS, { tenant: NOBODY }, { once: WATCH_CLOCKS, notBefore }),
    );
  }
}
