import { Module } from '@nestjs/common';
import { CatalogueModule } from '../catalogue/catalogue.module.js';
import { ClaimsModule } from '../claims/claims.module.js';
import { DiagnosisModule } from '../diagnosis/diagnosis.module.js';
import { EvidenceModule } from '../evidence/evidence.module.js';
import { InspectionsModule } from '../inspections/inspections.module.js';
import { PoliciesModule } from '../policies/policies.module.js';
import { AssetsController } from './http/assets.controller.js';
import { CrewClaimController } from './http/crew-claim.controller.js';
import { CrewPhotosController } from './http/crew-photos.controller.js';
import { CrewVisitController } from './http/crew-visit.controller.js';
import { CrewWalkController } from './http/crew-walk.controller.js';
import { CrewWalkPages } from './http/crew-walk.pages.js';
import { FrontDoorController } from './http/front-door.controller.js';

/** The pages for crew, desk and retailer. */
@Module({
  imports: [CatalogueModule, PoliciesModule, InspectionsModule, EvidenceModule, DiagnosisModule, ClaimsModule],
  controllers: [
    AssetsController,
    FrontDoorController,
    CrewVisitController,
    CrewWalkController,
    CrewPhotosController,
    CrewClaimController,
  ],
  providers: [CrewWalkPages],
})
export class WebModule {}
