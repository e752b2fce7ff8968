import { Injectable } from '@nestjs/common';
import type { EntityManager } from 'typeorm';
import { CatalogueService } from '../catalogue/catalogue.service.js';
import { DiagnosisService } from '../diagnosis/diagnosis.service.js';
import { InspectionsService } from '../inspections/inspections.service.js';
import type { Outcome } from '../kernel/outcome.js';
import { holidaysOf } from '../platform/calendar/holidays.js';
import { PoliciesService } from '../policies/policies.service.js';
import type { Assessment, ClaimFile } from './adjudication.contract.js';
import { assess } from './assessment.js';

/** Assesses claim files against the tenant's own catalogue and published documents. All computing is in the pure core. */
@Injectable()
export class AdjudicationService {
  constructor(
    private readonly catalogue: CatalogueService,
    private readonly inspections: InspectionsService,
    private readonly diagnosis: DiagnosisService,
    private readonly policies: PoliciesService,
  ) {}

  /** What the service proposes for a claim, or what is wrong with its facts. */
  async assess(tx: EntityManager, tenant: string, claim: ClaimFile): Promise<Outcome<Assessment>> {
    const model = await this.catalogue.modelBySku(tx, tenant, claim.unit.sku);
    const checklist = await this.inspections.checklist(tx, tenant, claim.documents.checklist);
    const evidenceModel = await this.diagnosis.model(tx, tenant, claim.documents.evidenceModel);
    const policy = await this.policies.byRef(tx, tenant, claim.documents.policy);
    const isHoliday = holidaysOf(claim.jurisdiction);
    return assess(claim, { model, checklist, evidenceModel, policy, isHoliday });
  }
}
