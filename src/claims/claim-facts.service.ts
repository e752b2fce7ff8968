import { Injectable } from '@nestjs/common';
import type { EntityManager } from 'typeorm';
import type { ClaimFile } from '../adjudication/adjudication.contract.js';
import { EvidenceService } from '../evidence/evidence.service.js';
import { InspectionsService } from '../inspections/inspections.service.js';
import { PoliciesService } from '../policies/policies.service.js';
import type { ClaimOpening } from './claims.contract.js';
import { composeClaimFile } from './domain/compose-claim-file.js';
import { happenedTo, toldBy } from './domain/happenings.js';
import type { ClaimRow } from './store/claim.entity.js';
import { ClaimClockStore } from './store/claim-clock.store.js';

/** Gathers everything that is stored about a claim and writes it as one claim file. */
@Injectable()
export class ClaimFactsService {
  constructor(
    private readonly inspections: InspectionsService,
    private readonly evidence: EvidenceService,
    private readonly policies: PoliciesService,
    private readonly clocks: ClaimClockStore,
  ) {}

  /**
   * The claim file of a stored claim as of an instant. The policy is the one in force on the day of delivery, or on the day the damage
   * was noticed where nobody recorded a delivery.
   * @throws Refused when the visit is missing or no policy is in force for its jurisdiction.
   */
  async gather(tx: EntityManager, row: ClaimRow, asOf: string): Promise<ClaimFile> {
    const visit = await this.inspections.visitForClaim(tx, row.tenantId, row.visitId, row.unitId);
    const inspection =
      row.inspectionId === null ? null : await this.inspections.forClaim(tx, row.tenantId, row.inspectionId);
    const photos = row.inspectionId === null ? [] : await this.evidence.forClaim(tx, row.tenantId, row.inspectionId);
    const governedAt = row.supplied.deliveredAt ?? visit.deliveredAt ?? row.noticedAt;
    const on = Temporal.Instant.from(governedAt).toZonedDateTimeISO(visit.zone).toPlainDate().toString();
    const policy = await this.policies.inForce(tx, row.tenantId, visit.jurisdiction, on);
    const told = toldBy(await this.clocks.happenings(tx, { tenantId: row.tenantId, claimId: row.id }));
    return composeClaimFile({
      number: row.number,
      opening: openingOf(row),
      visit,
      unit: visit.unit,
      documents: {
        checklist: inspection?.checklistRef ?? visit.unit.checklist,
        evidenceModel: visit.unit.evidenceModel,
        policy: `${policy.policy.document.id}/${policy.version}`,
      },
      inspection,
      photos,
      supplied: row.supplied,
      happened: { ...happenedTo(row), ...told.events },
      statusLetters: told.statusLetters,
      asOf,
    });
  }
}

function openingOf(row: ClaimRow): ClaimOpening {
  const { ground, returnReason, wish, words, failedRepairs, noticedAt, noticeToCarrierAt } = row;
  return { ground, returnReason, wish, words, failedRepairs, noticedAt, noticeToCarrierAt };
}
