import { availableParallelism } from 'node:os';
import { Injectable } from '@nestjs/common';
import { Database } from '../../platform/db/database.js';
import { Jobs, type JobPayload } from '../../platform/jobs/jobs.js';
import { FIND_REUSE, READ_PHOTO } from '../evidence.contract.js';
import { PhotoReaderService } from '../photo-reader.service.js';

/** Reads photos after their receipt, one per core. */
@Injectable()
export class ReadPhotoJob {
  constructor(jobs: Jobs, db: Database, reader: PhotoReaderService) {
    const read = async ({ tenant, exhibit }: JobPayload): Promise<void> => {
      const id = String(exhibit);
      await reader.read(tenant, id);
      // Read photos are compared with others; for one that failed there is nothing to compare, and that job ends at once.
      await db.inTenant({ tenant }, (tx) => jobs.enqueue(tx, FIND_REUSE, { tenant, exhibit: id }, { once: id }));
    };
    jobs.handle(READ_PHOTO, read, {
      atOnce: availableParallelism(),
    });
  }
}
