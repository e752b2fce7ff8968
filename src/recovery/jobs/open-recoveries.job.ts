import { Injectable, type OnModuleInit } from '@nestjs/common';
import { OPEN_RECOVERIES } from '../../claims/claims.contract.js';
import { Jobs } from '../../platform/jobs/jobs.js';
import { OpenRecoveriesService } from '../open-recoveries.service.js';

/** Opens recoveries as decisions come to stand. */
@Injectable()
export class OpenRecoveriesJob implements OnModuleInit {
  constructor(
    private readonly jobs: Jobs,
    private readonly recoveries: OpenRecoveriesService,
  ) {}

  onModuleInit(): void {
    this.jobs.handle(OPEN_RECOVERIES, ({ tenant, claim }) => this.recoveries.open(tenant, String(claim)));
  }
}
