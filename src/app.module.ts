import { Module, type DynamicModule } from '@nestjs/common';
import { ALL_MIGRATIONS } from '../migrations/all.js';
import { ACCESS_ENTITIES, AccessModule } from './access/access.module.js';
import { AdjudicationModule } from './adjudication/adjudication.module.js';
import { ADJUDICATION_ENTITIES } from './adjudication/store/holiday-override.entity.js';
import { CATALOGUE_ENTITIES } from './catalogue/store/model.entity.js';
import { CatalogueModule } from './catalogue/catalogue.module.js';
import { ClaimsModule } from './claims/claims.module.js';
import { CLAIMS_ENTITIES } from './claims/store/claim.entity.js';
import { DIAGNOSIS_ENTITIES } from './diagnosis/store/evidence-model-version.entity.js';
import { DiagnosisModule } from './diagnosis/diagnosis.module.js';
import { EVIDENCE_ENTITIES } from './evidence/store/evidence.entities.js';
import { EvidenceModule } from './evidence/evidence.module.js';
import { InsightModule } from './insight/insight.module.js';
import { INSPECTION_ENTITIES } from './inspections/store/inspections.entities.js';
import { InspectionsModule } from './inspections/inspections.module.js';
import { NoticesModule } from './notices/notices.module.js';
import type { Clock } from './platform/clock.js';
import type { Config } from './platform/config/config.js';
import type { EntityClass } from './platform/db/data-source.js';
import { PlatformModule } from './platform/platform.module.js';
import type { Log } from './platform/telemetry/log.js';
import { POLICY_ENTITIES } from './policies/store/policy-version.entity.js';
import { PoliciesModule } from './policies/policies.module.js';
import { RecoveryModule } from './recovery/recovery.module.js';
import { ReturnsModule } from './returns/returns.module.js';
import { WebModule } from './web/web.module.js';

/** Every stored thing of every module. */
export const ALL_ENTITIES: readonly EntityClass[] = [
  ...ACCESS_ENTITIES,
  ...CATALOGUE_ENTITIES,
  ...POLICY_ENTITIES,
  ...INSPECTION_ENTITIES,
  ...EVIDENCE_ENTITIES,
  ...DIAGNOSIS_ENTITIES,
  ...ADJUDICATION_ENTITIES,
  ...CLAIMS_ENTITIES,
];

/** The only place that knows every module. */
@Module({})
export class AppModule {
  static with(config: Config, log: Log, clock?: Clock): DynamicModule {
    return {
      module: AppModule,
      imports: [
        PlatformModule.with({
          config,
          log,
          entities: ALL_ENTITIES,
          migrations: ALL_MIGRATIONS,
          ...(clock ? { clock } : {}),
        }),
        AccessModule,
        CatalogueModule,
        PoliciesModule,
        InspectionsModule,
        EvidenceModule,
        DiagnosisModule,
        AdjudicationModule,
        ClaimsModule,
        ReturnsModule,
        RecoveryModule,
        NoticesModule,
        InsightModule,
        WebModule,
      ],
    };
  }
}
