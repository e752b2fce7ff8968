import { Module } from '@nestjs/common';
import { CatalogueModule } from '../catalogue/catalogue.module.js';
import { DiagnosisModule } from '../diagnosis/diagnosis.module.js';
import { InspectionsModule } from '../inspections/inspections.module.js';
import { PoliciesModule } from '../policies/policies.module.js';
import { AdjudicationService } from './adjudication.service.js';
import { HolidaysService } from './holidays.service.js';
import { HolidaysController } from './http/holidays.controller.js';

@Module({
  imports: [CatalogueModule, InspectionsModule, DiagnosisModule, PoliciesModule],
  controllers: [HolidaysController],
  providers: [AdjudicationService, HolidaysService],
  exports: [AdjudicationService, HolidaysService],
})
export class AdjudicationModule {}
