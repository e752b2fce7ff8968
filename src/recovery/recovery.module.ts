import { Module } from '@nestjs/common';
import { CatalogueModule } from '../catalogue/catalogue.module.js';
import { ClaimsModule } from '../claims/claims.module.js';
import { EvidenceModule } from '../evidence/evidence.module.js';
import { InspectionsModule } from '../inspections/inspections.module.js';
import { PoliciesModule } from '../policies/policies.module.js';
import { ClaimRecoveriesController } from './http/claim-recoveries.controller.js';
import { RecoveriesController } from './http/recoveries.controller.js';
import { RecoveryActsController } from './http/recovery-acts.controller.js';
import { StatementsController } from './http/statements.controller.js';
import { OpenRecoveriesJob } from './jobs/open-recoveries.job.js';
import { OpenRecoveriesService } from './open-recoveries.service.js';
import { PacketPhotos } from './packet-photos.js';
import { PacketsService } from './packets.service.js';
import { RecoveriesService } from './recoveries.service.js';
import { RecoveryFacts } from './recovery-facts.js';
import { RecoveryHands } from './recovery-hands.js';
import { StatementsService } from './statements.service.js';
import { RecoveryStore } from './store/recovery.store.js';

@Module({
  imports: [CatalogueModule, PoliciesModule, InspectionsModule, EvidenceModule, ClaimsModule],
  controllers: [StatementsController, RecoveriesController, RecoveryActsController, ClaimRecoveriesController],
  providers: [
    RecoveryStore,
    RecoveryHands,
    RecoveryFacts,
    OpenRecoveriesService,
    RecoveriesService,
    PacketPhotos,
    PacketsService,
    StatementsService,
    OpenRecoveriesJob,
  ],
  exports: [RecoveriesService, PacketsService, StatementsService],
})
export class RecoveryModule {}
