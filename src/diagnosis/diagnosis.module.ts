import { Global, Module } from '@nestjs/common';
import { DiagnosisService } from './diagnosis.service.js';
import { EvidenceModelsService } from './evidence-models.service.js';
import { EvidenceModelsController } from './http/evidence-models.controller.js';
import { FindingsController } from './http/findings.controller.js';
import { LearningService } from './learning.service.js';
import { EvidenceModelVersionStore } from './store/evidence-model-version.store.js';

/** Global, because later modules import its services by contract, not its wiring. */
@Global()
@Module({
  controllers: [FindingsController, EvidenceModelsController],
  providers: [EvidenceModelVersionStore, EvidenceModelsService, DiagnosisService, LearningService],
  exports: [DiagnosisService, EvidenceModelsService, LearningService],
})
export class DiagnosisModule {}
