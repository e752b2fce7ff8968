import { Injectable } from '@nestjs/common';
import { may, type Actor } from '../../access/access.contract.js';
import type { Assessment } from '../../adjudication/adjudication.contract.js';
import { ClaimReviewService, type ClaimDossier } from '../../claims/claim-review.service.js';
import { standsAt, verifyChain } from '../../claims/claims.contract.js';
import { ClaimsService } from '../../claims/claims.service.js';
import { EvidenceService } from '../../evidence/evidence.service.js';
import { VisitsService } from '../../inspections/visits.service.js';
import { Clock } from '../../platform/clock.js';
import type { CaseData } from '../case-data.js';
import { openActs } from '../domain/claim-acts.js';
import { CaseInspections } from './case-inspections.js';

/** Most photos that the page of a case shows. */
const MOST_PHOTOS = 200;

/** Gathers everything about a case. */
@Injectable()
export class DeskCases {
  constructor(
    private readonly claims: ClaimsService,
    private readonly review: ClaimReviewService,
    private readonly visits: VisitsService,
    private readonly inspections: CaseInspections,
    private readonly evidence: EvidenceService,
    private readonly clock: Clock,
  ) {}

  async read(actor: Actor, id: string): Promise<CaseData> {
    const claim = await this.claims.get(actor, id);
    const dossier = await this.review.dossier(actor, id);
    const events = await this.claims.events(actor, id);
    const assessment = dossier.assessment?.assessment as Assessment | undefined;
    const awaiting = dossier.decisions.find(({ state }) => state === 'awaiting second person') ?? null;
    const outcome = dossier.decisions.find(({ state }) => state === 'standing')?.outcome ?? null;
    const { filedBy, state } = claim;
    const open = openActs({ state, outcome, awaiting, filedBy }, actor.id);
    const nothing =
      assessment?.remedy.customerTotalMinor === 0 && assessment.remedy.chosen.every(({ remedy }) => remedy === 'none');
    return {
      claim,
      line: await this.claims.line(actor, id),
      standing: standsAt(state, outcome, claim.dueAt, openQuestion(dossier)),
      visit: await this.visits.read(actor, claim.visitId),
      dossier,
      assessment,
      events,
      chainFault: verifyChain(id, events)?.detail,
      inspection: claim.inspectionId === null ? undefined : await this.inspections.read(actor, claim.inspectionId),
      photos:
        claim.inspectionId === null ? [] : await this.evidence.page(actor, claim.inspectionId, undefined, MOST_PHOTOS),
      says: await this.inspections.observationWords(actor, assessment?.documents.evidenceModel),
      acts: nothing ? { ...open, acts: open.acts.filter((act) => act !== 'approve') } : open,
      mayAct: may(actor, 'claim.decide'),
      now: this.clock.now().toString(),
    };
  }
}

function openQuestion(dossier: ClaimDossier): string | null {
  return dossier.questions.findLast(({ answeredAt }) => answeredAt === null)?.asked ?? null;
}
