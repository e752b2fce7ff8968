import { Injectable } from '@nestjs/common';
import { Jobs } from '../../platform/jobs/jobs.js';
import { FIND_REUSE } from '../evidence.contract.js';
import { PhotoReuseService } from '../photo-reuse.service.js';

/** Compares photos after they were read, one at a time: one process holds what they are compared with. */
@Injectable()
export class FindReuseJob {
  constructor(jobs: Jobs, reuse: PhotoReuseService) {
    jobs.handle(FIND_REUSE, ({ tenant, exhibit }) => reuse.compare(tenant, String(exhibit)), { atOnce: 1 });
  }
}
