import { Global, Module } from '@nestjs/common';
import { DecisionRecordsService } from './decision-records.service.js';
import { PoliciesController } from './http/policies.controller.js';
import { PolicyExchangeController } from './http/policy-exchange.controller.js';
import { PolicyLifeController } from './http/policy-life.controller.js';
import { RehearsalsController } from './http/rehearsals.controller.js';
import { PoliciesService } from './policies.service.js';
import { PolicyChecksService } from './policy-checks.service.js';
import { PolicyEvidenceService } from './policy-evidence.service.js';
import { PolicyVersionsService } from './policy-versions.service.js';
import { RehearsalsService } from './rehearsals.service.js';
import { DecisionRecordStore } from './store/decision-record.store.js';
import { PolicyCalendarStore } from './store/policy-calendar.store.js';
import { PolicyVersionStore } from './store/policy-version.store.js';
import { RehearsalStore } from './store/rehearsal.store.js';

/** Global, because later modules import its service by contract, not its wiring. */
@Global()
@Module({
  controllers: [PoliciesController, PolicyLifeController, PolicyExchangeController, RehearsalsController],
  providers: [
    PolicyVersionStore,
    PolicyCalendarStore,
    DecisionRecordStore,
    RehearsalStore,
    PoliciesService,
    PolicyEvidenceService,
    PolicyVersionsService,
    PolicyChecksService,
    RehearsalsService,
    DecisionRecordsService,
  ],
  exports: [PoliciesService, PolicyVersionsService, PolicyChecksService, RehearsalsService, DecisionRecordsService],
})
export class PoliciesModule {}
