import { availableParallelism } from 'node:os';
import { Injectable } from '@nestjs/common';
import { Jobs } from '../../platform/jobs/jobs.js';
import { READ_PHOTO } from '../evidence.contract.js';
import { PhotoReaderService } from '../photo-reader.service.js';

/** Reads photos after their receipt, one per core. */
@Injectable()
export class ReadPhotoJob {
  constructor(jobs: Jobs, reader: PhotoReaderService) {
    jobs.handle(READ_PHOTO, ({ tenant, exhibit }) => reader.read(tenant, String(exhibit)), {
      atOnce: availableParallelism(),
    });
  }
}
