import { Injectable } from '@nestjs/common';
import type { FastifyReply } from 'fastify';
import type { Actor } from '../../access/access.contract.js';
import { ClaimReviewService, type ClaimDossier } from '../../claims/claim-review.service.js';
import { retailerTimeline, standsAt } from '../../claims/claims.contract.js';
import { ClaimsService } from '../../claims/claims.service.js';
import { VisitsService } from '../../inspections/visits.service.js';
import { Clock } from '../../platform/clock.js';
import { Refused } from '../../platform/http/problems.js';
import { sendPage } from '../html.js';
import { onlookerOf } from '../onlookers.js';
import { RetailerClaim, type RetailerClaimView } from '../pages/retailer-claim.js';
import { RetailerLetter, type Letter } from '../pages/retailer-letter.js';
import { RetailerEvidence } from './retailer-evidence.js';

/** Shows one claim, and its letters, to its retailer. */
@Injectable()
export class RetailerClaimPages {
  constructor(
    private readonly claims: ClaimsService,
    private readonly review: ClaimReviewService,
    private readonly visits: VisitsService,
    private readonly evidence: RetailerEvidence,
    private readonly clock: Clock,
  ) {}

  async show(
    actor: Actor,
    id: string,
    reply: FastifyReply,
    more: Pick<RetailerClaimView, 'tried' | 'done'> & { readonly keptIds?: readonly string[] },
  ): Promise<void> {
    const { keptIds = [], ...rest } = more;
    const { claim, standing, open, ...facts } = await this.facts(actor, id);
    const photos = claim.inspectionId === null ? [] : await this.evidence.photos(actor, claim.inspectionId);
    const page = (
      <RetailerClaim
        onlooker={onlookerOf(actor)}
        claim={claim}
        {...facts}
        now={this.clock.now().toString()}
        standing={standsAt(claim.state, standing?.outcome ?? null, claim.dueAt, open)}
        timeline={retailerTimeline(await this.claims.events(actor, id))}
        decision={decisionOf(standing)}
        photos={photos}
        fileItems={claim.inspectionId === null ? [] : await this.evidence.fileItems(actor, claim.inspectionId)}
        kept={photos.filter((photo) => keptIds.includes(photo.id))}
        {...rest}
      />
    );
    sendPage(reply, page, more.tried?.trouble.status ?? 200);
  }

  /** One decision as a letter. @throws Refused not-found where there is none of that number in force */
  async letter(actor: Actor, id: string, n: string, reply: FastifyReply): Promise<void> {
    const { claim, line, zone, letters, standing, open } = await this.facts(actor, id);
    const letter = letters.find((each) => String(each.n) === n);
    if (letter === undefined) throw new Refused('not-found', 'There is no such letter on this claim.');
    const stands = standsAt(claim.state, standing?.outcome ?? null, claim.dueAt, open);
    const about = { onlooker: onlookerOf(actor), claim, line, zone, letter };
    sendPage(reply, <RetailerLetter {...about} standing={stands} />);
  }

  private async facts(actor: Actor, id: string) {
    const claim = await this.claims.get(actor, id);
    const { decisions, questions } = await this.review.dossier(actor, id);
    return {
      claim,
      line: await this.claims.line(actor, id),
      zone: (await this.visits.read(actor, claim.visitId)).zone,
      questions,
      standing: decisions.find(({ state }) => state === 'standing'),
      letters: decisions.flatMap(letterOf),
      open: questions.findLast(({ answeredAt }) => answeredAt === null)?.asked ?? null,
    };
  }
}

type Decision = ClaimDossier['decisions'][number];

/** A letter is written of what is or was in force; what waits for a second person, or was sent back, stays inside the house. */
function letterOf({ n, state, outcome, body, totalMinor, decidedAt, confirmedAt }: Decision): Letter[] {
  if (state !== 'standing' && state !== 'superseded') return [];
  const at = confirmedAt ?? decidedAt;
  return [{ n, outcome, remedies: body.remedies, totalMinor, at, replaced: state === 'superseded' }];
}

function decisionOf(standing: Decision | undefined): RetailerClaimView['decision'] {
  if (standing === undefined) return undefined;
  const { outcome, totalMinor, decidedAt, body } = standing;
  return { outcome, totalMinor, decidedAt, remedies: body.remedies };
}
