import { Injectable } from '@nestjs/common';
import type { EntityManager } from 'typeorm';
import { CatalogueService } from '../catalogue/catalogue.service.js';
import { DiagnosisService } from '../diagnosis/diagnosis.service.js';
import { InspectionsService } from '../inspections/inspections.service.js';
import type { Outcome } from '../kernel/outcome.js';
import type { ClockRule } from '../policies/policies.contract.js';
import { PoliciesService } from '../policies/policies.service.js';
import { clocksOfClaim, type ClaimFile, type Clock } from './adjudication.contract.js';
import { assessTraced, type TracedAssessment } from './assessment.js';
import { HolidaysService } from './holidays.service.js';

/** Assesses claim files against the tenant's own catalogue and published documents. All computing is in the pure core. */
@Injectable()
export class AdjudicationService {
  constructor(
    private readonly catalogue: CatalogueService,
    private readonly inspections: InspectionsService,
    private readonly diagnosis: DiagnosisService,
    private readonly policies: PoliciesService,
    private readonly holidays: HolidaysService,
  ) {}

  /** What the service proposes for a claim, with what has to be kept of how it came about; or what is wrong with its facts. */
  async assess(tx: EntityManager, tenant: string, claim: ClaimFile): Promise<Outcome<TracedAssessment>> {
    const model = await this.catalogue.modelBySku(tx, tenant, claim.unit.sku);
    const checklist = await this.inspections.checklist(tx, tenant, claim.documents.checklist);
    const evidenceModel = await this.diagnosis.model(tx, tenant, claim.documents.evidenceModel);
    const policy = await this.policies.byRef(tx, tenant, claim.documents.policy);
    const isHoliday = await this.holidays.lookup(tx, tenant, claim.jurisdiction);
    return assessTraced(claim, { model, checklist, evidenceModel, policy, isHoliday });
  }

  /**
   * The clocks of a claim that was assessed before, as they stand at `claim.asOf` with what has happened since.
   * @param before the clocks of that assessment; they tell whether the claim was a safety matter
   */
  async clocks(tx: EntityManager, tenant: string, claim: ClaimFile, before: readonly Clock[]): Promise<ClocksNow> {
    const policy = await this.policies.byRef(tx, tenant, claim.documents.policy);
    const isHoliday = await this.holidays.lookup(tx, tenant, claim.jurisdiction);
    const rules = policy.document.clocks ?? [];
    const isSafety = rules.some(({ id, safetyOnly }) => safetyOnly === true && before.some((clock) => clock.id === id));
    const { clocks } = clocksOfClaim(claim, { policy, isHoliday }, isSafety);
    const ids = (keep: (rule: ClockRule) => boolean): ReadonlySet<string> =>
      new Set(rules.filter(keep).map(({ id }) => id));
    return { clocks, safety: ids(({ safetyOnly }) => safetyOnly === true), carrier: ids(towardsCarrier) };
  }
}

/** Clocks as they stand, and which of them go on when the claim itself is over. */
export interface ClocksNow {
  readonly clocks: readonly Clock[];
  /** Ids of clocks that a hazard runs. */
  readonly safety: ReadonlySet<string>;
  /** Ids of clocks of the dispute with the carrier. */
  readonly carrier: ReadonlySet<string>;
}

function towardsCarrier({ starts, stops }: ClockRule): boolean {
  return starts.startsWith('carrier') || stops.startsWith('carrier');
}
