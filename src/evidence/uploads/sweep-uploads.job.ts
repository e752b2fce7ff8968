import { Injectable, type OnApplicationBootstrap, type OnModuleInit } from '@nestjs/common';
import { Database } from '../../platform/db/database.js';
import { Jobs } from '../../platform/jobs/jobs.js';
import { UploadSweepService } from './upload-sweep.service.js';

/** Name of the job that finishes and clears away resumable uploads. */
export const SWEEP_UPLOADS = 'sweep-uploads';

const EVERY_SECONDS = 60;
/** The sweep belongs to no tenant. */
const NOBODY = '00000000-0000-0000-0000-000000000000';

/**
 * Looks after resumable uploads at the start and every minute. One job waits at any time, in the database; before it does its work it
 * leaves the next one there, so it goes on when a worker dies, and any worker that starts sets it going again.
 */
@Injectable()
export class SweepUploadsJob implements OnModuleInit, OnApplicationBootstrap {
  constructor(
    private readonly jobs: Jobs,
    private readonly db: Database,
    private readonly uploads: UploadSweepService,
  ) {}

  onModuleInit(): void {
    this.jobs.handle(SWEEP_UPLOADS, async () => {
      await this.again(EVERY_SECONDS, SWEEP_UPLOADS);
      await this.uploads.sweep();
    });
  }

  async onApplicationBootstrap(): Promise<void> {
    // Under a name of its own: a process that was killed has left one that waits for its minute.
    if (this.jobs.running) await this.again(0, `${SWEEP_UPLOADS} at the start`);
  }

  /** Counted by the time of the machine, as the job runner does. @param seconds from now @param once of this name one waits at a time */
  private async again(seconds: number, once: string): Promise<void> {
    const notBefore = Temporal.Now.instant().add({ seconds });
    await this.db.outside((tx) => this.jobs.enqueue(tx, SWEEP_UPLOADS, { tenant: NOBODY }, { once, notBefore }));
  }
}
