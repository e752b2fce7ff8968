import { Injectable, type OnModuleInit } from '@nestjs/common';
import { Jobs } from '../../platform/jobs/jobs.js';
import { REHEARSE_POLICY } from '../../policies/rehearsals.contract.js';
import { RehearsalRunnerService } from '../rehearsal-runner.service.js';

/** A million claims take a minute or two; a slow machine under load may take its time. */
const TIME_LIMIT_SECONDS = 4 * 60 * 60;

/** Rehearses versions of policies on past claims. */
@Injectable()
export class RehearsePolicyJob implements OnModuleInit {
  constructor(
    private readonly jobs: Jobs,
    private readonly runner: RehearsalRunnerService,
  ) {}

  onModuleInit(): void {
    this.jobs.handle(REHEARSE_POLICY, ({ tenant, rehearsal }) => this.runner.run(tenant, String(rehearsal)), {
      timeLimitSeconds: TIME_LIMIT_SECONDS,
    });
  }
}
