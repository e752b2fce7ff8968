import { Module } from '@nestjs/common';
import { CatalogueModule } from '../catalogue/catalogue.module.js';
import { DiagnosisModule } from '../diagnosis/diagnosis.module.js';
import { InspectionsModule } from '../inspections/inspections.module.js';
import { PoliciesModule } from '../policies/policies.module.js';
import { AdjudicationService } from './adjudication.service.js';

@Module({
  imports: [CatalogueModule, InspectionsModule, DiagnosisModule, PoliciesModule],
  providers: [AdjudicationService],
  exports: [AdjudicationService],
})
export class AdjudicationModule {}
