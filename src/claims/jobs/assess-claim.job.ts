import { Injectable, type OnModuleInit } from '@nestjs/common';
import { Jobs } from '../../platform/jobs/jobs.js';
import { ClaimAssessmentService } from '../claim-assessment.service.js';
import { ASSESS_CLAIM } from '../claims.service.js';

/** Assesses claims as they are filed. */
@Injectable()
export class AssessClaimJob implements OnModuleInit {
  constructor(
    private readonly jobs: Jobs,
    private readonly assessment: ClaimAssessmentService,
  ) {}

  onModuleInit(): void {
    this.jobs.handle(ASSESS_CLAIM, ({ tenant, claim }) => this.assessment.assess(tenant, String(claim)));
  }
}
