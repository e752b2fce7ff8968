import { Injectable } from '@nestjs/common';
import { may, type Actor } from '../../access/access.contract.js';
import { CompaniesService } from '../../access/companies.service.js';
import type { Assessment } from '../../adjudication/adjudication.contract.js';
import { ClaimReviewService, type ClaimDossier } from '../../claims/claim-review.service.js';
import { standsAt, verifyChain } from '../../claims/claims.contract.js';
import { ClaimsService } from '../../claims/claims.service.js';
import { EvidenceService } from '../../evidence/evidence.service.js';
import { VisitsService } from '../../inspections/visits.service.js';
import type { CaseData, Claim, EarlierClaim } from '../case-data.js';
import { openActs } from '../domain/claim-acts.js';
import { CaseInspections } from './case-inspections.js';

/** Most photos that the page of a case shows. */
const MOST_PHOTOS = 200;
/** Most other claims on the unit that it tells of. */
const MOST_EARLIER = 20;
/** Of how many of those, the newest, it shows the photos. */
const EARLIER_WITH_PHOTOS = 5;

/** Gathers everything about a case. */
@Injectable()
export class DeskCases {
  constructor(
    private readonly claims: ClaimsService,
    private readonly review: ClaimReviewService,
    private readonly visits: VisitsService,
    private readonly companies: CompaniesService,
    private readonly inspections: CaseInspections,
    private readonly evidence: EvidenceService,
  ) {}

  async read(actor: Actor, id: string): Promise<Omit<CaseData, 'now'>> {
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
    const line = await this.claims.line(actor, id);
    return {
      claim,
      line,
      standing: standsAt(state, outcome, claim.promisedAt, openQuestion(dossier)),
      visit: await this.visits.read(actor, claim.visitId),
      goodsAddress: await this.companies.goodsAddress(actor, claim.retailerId),
      dossier,
      assessment,
      events,
      chainFault: verifyChain(id, events)?.detail,
      inspection: claim.inspectionId === null ? undefined : await this.inspections.read(actor, claim.inspectionId),
      photos:
        claim.inspectionId === null ? [] : await this.evidence.page(actor, claim.inspectionId, undefined, MOST_PHOTOS),
      says: await this.inspections.observationWords(actor, assessment?.documents.evidenceModel),
      earlier: await this.earlier(actor, claim, line.serial),
      acts: nothing ? { ...open, acts: open.acts.filter((act) => act !== 'approve') } : open,
      mayAct: may(actor, 'claim.decide'),
      mayRecover: may(actor, 'recovery.manage'),
      me: actor.id,
    };
  }

  /** Other claims on the unit. Photos of the inspection that this claim rests on itself are not shown twice. */
  private async earlier(actor: Actor, { id, inspectionId }: Claim, serial: string): Promise<EarlierClaim[]> {
    const page = await this.claims.list(actor, { order: 'newest', find: serial }, { limit: MOST_EARLIER + 1 });
    const others = page.items.filter((line) => line.serial === serial && line.id !== id).slice(0, MOST_EARLIER);
    const earlier: EarlierClaim[] = [];
    for (const [at, line] of others.entries()) {
      const other = at < EARLIER_WITH_PHOTOS ? (await this.claims.get(actor, line.id)).inspectionId : null;
      const photos =
        other === null || other === inspectionId ? [] : await this.evidence.page(actor, other, undefined, MOST_PHOTOS);
      earlier.push({ ...line, photos });
    }
    return earlier;
  }
}

function openQuestion(dossier: ClaimDossier): string | null {
  return dossier.questions.findLast(({ answeredAt }) => answeredAt === null)?.asked ?? null;
}
