import { Injectable } from '@nestjs/common';
import type { FastifyReply } from 'fastify';
import type { Actor } from '../../access/access.contract.js';
import { ClaimReviewService } from '../../claims/claim-review.service.js';
import { retailerTimeline, standsAt } from '../../claims/claims.contract.js';
import { ClaimsService } from '../../claims/claims.service.js';
import { EvidenceService } from '../../evidence/evidence.service.js';
import { VisitsService } from '../../inspections/visits.service.js';
import { Clock } from '../../platform/clock.js';
import { Database } from '../../platform/db/database.js';
import { scopeOf } from '../../platform/http/caller.js';
import { sendPage } from '../html.js';
import { onlookerOf } from '../onlookers.js';
import { RetailerClaim, type RetailerClaimView } from '../pages/retailer-claim.js';

/** Shows one claim to its retailer. */
@Injectable()
export class RetailerClaimPages {
  constructor(
    private readonly claims: ClaimsService,
    private readonly review: ClaimReviewService,
    private readonly visits: VisitsService,
    private readonly evidence: EvidenceService,
    private readonly db: Database,
    private readonly clock: Clock,
  ) {}

  async show(
    actor: Actor,
    id: string,
    reply: FastifyReply,
    more: Pick<RetailerClaimView, 'tried' | 'done'>,
  ): Promise<void> {
    const claim = await this.claims.get(actor, id);
    const { decisions, questions } = await this.review.dossier(actor, id);
    const standing = decisions.find(({ state }) => state === 'standing');
    const open = questions.findLast(({ answeredAt }) => answeredAt === null)?.asked ?? null;
    const page = (
      <RetailerClaim
        onlooker={onlookerOf(actor)}
        claim={claim}
        line={await this.claims.line(actor, id)}
        zone={(await this.visits.read(actor, claim.visitId)).zone}
        now={this.clock.now().toString()}
        standing={standsAt(claim.state, standing?.outcome ?? null, claim.dueAt, open)}
        timeline={retailerTimeline(await this.claims.events(actor, id))}
        decision={decisionOf(standing)}
        questions={questions}
        photos={claim.inspectionId === null ? [] : await this.photos(actor, claim.inspectionId)}
        {...more}
      />
    );
    sendPage(reply, page, more.tried?.trouble.status ?? 200);
  }

  private async photos(actor: Actor, inspectionId: string): Promise<RetailerClaimView['photos']> {
    const photos = await this.db.inTenant(scopeOf(actor), (tx) =>
      this.evidence.forClaim(tx, actor.tenant, inspectionId),
    );
    return photos.map(({ id, shows }) => ({ id, about: `Photo of the inspection (${shows})` }));
  }
}

function decisionOf(
  standing: Awaited<ReturnType<ClaimReviewService['dossier']>>['decisions'][number] | undefined,
): RetailerClaimView['decision'] {
  if (standing === undefined) return undefined;
  const { outcome, totalMinor, decidedAt, body } = standing;
  return { outcome, totalMinor, decidedAt, remedies: body.remedies };
}
