import { Injectable, type OnApplicationBootstrap, type OnModuleInit } from '@nestjs/common';
import { Database } from '../../platform/db/database.js';
import { Jobs } from '../../platform/jobs/jobs.js';
import { RetailerExportsService } from '../retailer-exports.service.js';

/** Name of the job that makes files of claims that are due. */
export const MAKE_EXPORTS = 'make-exports';

const EVERY_SECONDS = 60;
/** The look belongs to no tenant. */
const NOBODY = '00000000-0000-0000-0000-000000000000';

/**
 * Makes the files that retailers have made by the week or the month. As with the watch over clocks, one job waits at any time, in the
 * database, and leaves the next one there before it does its work.
 */
@Injectable()
export class MakeExportsJob implements OnModuleInit, OnApplicationBootstrap {
  constructor(
    private readonly jobs: Jobs,
    private readonly db: Database,
    private readonly exports: RetailerExportsService,
  ) {}

  onModuleInit(): void {
    this.jobs.handle(MAKE_EXPORTS, async () => {
      await this.again(EVERY_SECONDS);
      await this.exports.makeDue();
    });
  }

  async onApplicationBootstrap(): Promise<void> {
    if (this.jobs.running) await this.again(0);
  }

  private async again(seconds: number): Promise<void> {
    const notBefore = Temporal.Now.instant().add({ seconds });
    await this.db.outside((tx) =>
      this.jobs.enqueue(tx, MAKE_EXPORTS, { tenant: NOBODY }, { once: MAKE_EXPORTS, notBefore }),
    );
  }
}
