import { Module } from '@nestjs/common';
import { CatalogueModule } from '../catalogue/catalogue.module.js';
import { ClaimsModule } from '../claims/claims.module.js';
import { DiagnosisModule } from '../diagnosis/diagnosis.module.js';
import { EvidenceModule } from '../evidence/evidence.module.js';
import { InspectionsModule } from '../inspections/inspections.module.js';
import { PoliciesModule } from '../policies/policies.module.js';
import { CrewPacks, CrewSources } from './crew-packs.js';
import { AssetsController } from './http/assets.controller.js';
import { CaseInspections } from './http/case-inspections.js';
import { CrewAppController } from './http/crew-app.controller.js';
import { ChecklistPreviewController } from './http/checklist-preview.controller.js';
import { CrewPackController } from './http/crew-pack.controller.js';
import { DeskActs } from './http/desk-acts.js';
import { DeskAppController } from './http/desk-app.controller.js';
import { DeskCases } from './http/desk-cases.js';
import { DeskChangesController } from './http/desk-changes.controller.js';
import { DeskDataController } from './http/desk-data.controller.js';
import { DeskDataViewsController } from './http/desk-data-views.controller.js';
import { DeskModelsController } from './http/desk-models.controller.js';
import { DeskPhonesController } from './http/desk-phones.controller.js';
import { FrontDoorController } from './http/front-door.controller.js';
import { RetailerClaimPages } from './http/retailer-claim.pages.js';
import { RetailerCompanyController } from './http/retailer-company.controller.js';
import { RetailerEvidence } from './http/retailer-evidence.js';
import { RetailerExportController } from './http/retailer-export.controller.js';
import { RetailerFilesController } from './http/retailer-files.controller.js';
import { RetailerKeysController } from './http/retailer-keys.controller.js';
import { RetailerController } from './http/retailer.controller.js';
import { MakeExportsJob } from './jobs/make-exports.job.js';
import { RetailerExportsService } from './retailer-exports.service.js';
import { ClaimExportStore } from './store/claim-export.store.js';
import { DeskViewStore } from './store/desk-view.store.js';

/** The pages for crew, desk and retailer. */
@Module({
  imports: [CatalogueModule, PoliciesModule, InspectionsModule, EvidenceModule, DiagnosisModule, ClaimsModule],
  controllers: [
    AssetsController,
    FrontDoorController,
    CrewAppController,
    CrewPackController,
    ChecklistPreviewController,
    DeskPhonesController,
    RetailerExportController,
    RetailerCompanyController,
    RetailerController,
    RetailerFilesController,
    RetailerKeysController,
    DeskDataController,
    DeskModelsController,
    DeskDataViewsController,
    DeskChangesController,
    DeskAppController,
  ],
  providers: [
    CrewSources,
    CrewPacks,
    CaseInspections,
    DeskCases,
    DeskViewStore,
    DeskActs,
    RetailerEvidence,
    RetailerClaimPages,
    ClaimExportStore,
    RetailerExportsService,
    MakeExportsJob,
  ],
})
export class WebModule {}
