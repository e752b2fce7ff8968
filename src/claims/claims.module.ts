import { Module } from '@nestjs/common';
import { AdjudicationModule } from '../adjudication/adjudication.module.js';
import { EvidenceModule } from '../evidence/evidence.module.js';
import { InspectionsModule } from '../inspections/inspections.module.js';
import { PoliciesModule } from '../policies/policies.module.js';
import { ClaimArrivalsService } from './claim-arrivals.service.js';
import { ClaimAssessmentService } from './claim-assessment.service.js';
import { ClaimClocksService } from './claim-clocks.service.js';
import { ClaimDecisionsService } from './claim-decisions.service.js';
import { ClaimFactsService } from './claim-facts.service.js';
import { ClaimHands } from './claim-hands.js';
import { ClaimHappeningsService } from './claim-happenings.service.js';
import { ClaimLedger } from './claim-ledger.js';
import { ClaimAnswersService } from './claim-answers.service.js';
import { ClaimPhoneLossService } from './claim-phone-loss.service.js';
import { ClaimRecordsService } from './claim-records.service.js';
import { ClaimReviewService } from './claim-review.service.js';
import { ClaimSettlementService } from './claim-settlement.service.js';
import { ClaimTakersService } from './claim-takers.service.js';
import { ClaimsService } from './claims.service.js';
import { ClockWatchService } from './clock-watch.service.js';
import { DecisionAnswersService } from './decision-answers.service.js';
import { DecidedLessonsService } from './decided-lessons.service.js';
import { ClaimArrivalsController } from './http/claim-arrivals.controller.js';
import { ClaimPhonesController } from './http/claim-phones.controller.js';
import { ClaimReviewController } from './http/claim-review.controller.js';
import { ClaimSettlementController } from './http/claim-settlement.controller.js';
import { ClaimTakersController } from './http/claim-takers.controller.js';
import { ClaimsController } from './http/claims.controller.js';
import { ClocksController } from './http/clocks.controller.js';
import { DecisionRecordsController } from './http/decision-records.controller.js';
import { LessonsController } from './http/lessons.controller.js';
import { JudgementRecordsService } from './judgement-records.service.js';
import { AssessClaimJob } from './jobs/assess-claim.job.js';
import { RehearsePolicyJob } from './jobs/rehearse-policy.job.js';
import { WatchClocksJob } from './jobs/watch-clocks.job.js';
import { RehearsalRunnerService } from './rehearsal-runner.service.js';
import { RehearsedClaimsService } from './rehearsed-claims.service.js';
import { ClaimClockStore } from './store/claim-clock.store.js';
import { ClaimQueueReadModel } from './store/claim-queue.read-model.js';
import { ClaimStandingReadModel } from './store/claim-standing.read-model.js';
import { ClaimTakerStore } from './store/claim-taker.store.js';
import { ClaimStore } from './store/claim.store.js';
import { DueListReadModel } from './store/due-list.read-model.js';

@Module({
  imports: [InspectionsModule, EvidenceModule, PoliciesModule, AdjudicationModule],
  controllers: [
    ClaimsController,
    ClaimArrivalsController,
    ClaimPhonesController,
    ClaimReviewController,
    ClaimSettlementController,
    ClaimTakersController,
    DecisionRecordsController,
    LessonsController,
    ClocksController,
  ],
  providers: [
    ClaimStore,
    ClaimTakerStore,
    ClaimClockStore,
    ClaimQueueReadModel,
    DueListReadModel,
    ClaimStandingReadModel,
    ClaimHands,
    ClockWatchService,
    ClaimClocksService,
    ClaimHappeningsService,
    ClaimLedger,
    ClaimRecordsService,
    ClaimFactsService,
    JudgementRecordsService,
    DecisionAnswersService,
    ClaimAssessmentService,
    ClaimsService,
    ClaimArrivalsService,
    ClaimAnswersService,
    ClaimPhoneLossService,
    ClaimReviewService,
    ClaimDecisionsService,
    ClaimSettlementService,
    ClaimTakersService,
    DecidedLessonsService,
    RehearsalRunnerService,
    RehearsedClaimsService,
    RehearsePolicyJob,
    AssessClaimJob,
    WatchClocksJob,
  ],
  exports: [
    ClaimsService,
    ClaimRecordsService,
    ClaimReviewService,
    ClaimDecisionsService,
    ClaimSettlementService,
    ClaimTakersService,
    ClaimHappeningsService,
  ],
})
export class ClaimsModule {}
