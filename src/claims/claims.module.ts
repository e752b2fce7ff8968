import { Module } from '@nestjs/common';
import { AdjudicationModule } from '../adjudication/adjudication.module.js';
import { EvidenceModule } from '../evidence/evidence.module.js';
import { InspectionsModule } from '../inspections/inspections.module.js';
import { PoliciesModule } from '../policies/policies.module.js';
import { ClaimAssessmentService } from './claim-assessment.service.js';
import { ClaimDecisionsService } from './claim-decisions.service.js';
import { ClaimFactsService } from './claim-facts.service.js';
import { ClaimHands } from './claim-hands.js';
import { ClaimLedger } from './claim-ledger.js';
import { ClaimRecordsService } from './claim-records.service.js';
import { ClaimReviewService } from './claim-review.service.js';
import { ClaimSettlementService } from './claim-settlement.service.js';
import { ClaimsService } from './claims.service.js';
import { DecidedLessonsService } from './decided-lessons.service.js';
import { ClaimReviewController } from './http/claim-review.controller.js';
import { ClaimSettlementController } from './http/claim-settlement.controller.js';
import { ClaimsController } from './http/claims.controller.js';
import { LessonsController } from './http/lessons.controller.js';
import { AssessClaimJob } from './jobs/assess-claim.job.js';
import { ClaimQueueReadModel } from './store/claim-queue.read-model.js';
import { ClaimStandingReadModel } from './store/claim-standing.read-model.js';
import { ClaimStore } from './store/claim.store.js';

@Module({
  imports: [InspectionsModule, EvidenceModule, PoliciesModule, AdjudicationModule],
  controllers: [ClaimsController, ClaimReviewController, ClaimSettlementController, LessonsController],
  providers: [
    ClaimStore,
    ClaimQueueReadModel,
    ClaimStandingReadModel,
    ClaimHands,
    ClaimLedger,
    ClaimRecordsService,
    ClaimFactsService,
    ClaimAssessmentService,
    ClaimsService,
    ClaimReviewService,
    ClaimDecisionsService,
    ClaimSettlementService,
    DecidedLessonsService,
    AssessClaimJob,
  ],
  exports: [ClaimsService, ClaimRecordsService, ClaimReviewService, ClaimDecisionsService, ClaimSettlementService],
})
export class ClaimsModule {}
