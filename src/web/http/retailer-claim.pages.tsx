import { Injectable } from '@nestjs/common';
import type { FastifyReply } from 'fastify';
import type { Actor } from '../../access/access.contract.js';
import { OwnCompanyService } from '../../access/own-company.service.js';
import { ClaimReviewService, type ClaimDossier } from '../../claims/claim-review.service.js';
import { retailerTimeline, standsAt } from '../../claims/claims.contract.js';
import { ClaimsService } from '../../claims/claims.service.js';
import { VisitsService } from '../../inspections/visits.service.js';
import { Clock } from '../../platform/clock.js';
import { Refused } from '../../platform/http/problems.js';
import { letterContent, type Letter } from '../domain/letter.js';
import type { LetterLang } from '../domain/letter-words.js';
import { sendPage } from '../html.js';
import { letterPdf } from '../letter/letter-pdf.js';
import { onlookerOf } from '../onlookers.js';
import { RetailerClaim, type RetailerClaimView } from '../pages/retailer-claim.js';
import { RetailerPhotos } from '../pages/retailer-photos.js';
import { RetailerLetter } from '../pages/retailer-letter.js';
import { RetailerEvidence } from './retailer-evidence.js';

/** Which letter of a claim, in which language. */
export interface AskedLetter {
  /** Number of the decision, as it stands in the address. */
  readonly n: string;
  readonly lang: LetterLang;
}

/** Shows one claim, and its letters, to its retailer. */
@Injectable()
export class RetailerClaimPages {
  constructor(
    private readonly claims: ClaimsService,
    private readonly review: ClaimReviewService,
    private readonly visits: VisitsService,
    private readonly evidence: RetailerEvidence,
    private readonly own: OwnCompanyService,
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
        standing={standsAt(claim.state, standing?.outcome ?? null, claim.promisedAt, open)}
        timeline={retailerTimeline(await this.claims.events(actor, id))}
        decision={facts.letters.find(({ replaced }) => !replaced)}
        photos={photos}
        fileItems={claim.inspectionId === null ? [] : await this.evidence.fileItems(actor, claim.inspectionId)}
        kept={photos.filter((photo) => keptIds.includes(photo.id))}
        {...rest}
      />
    );
    sendPage(reply, page, more.tried?.trouble.status ?? 200);
  }

  /** The photos of a claim on a page of their own. @throws Refused not-found */
  async photos(actor: Actor, id: string, reply: FastifyReply): Promise<void> {
    const [claim, line] = [await this.claims.get(actor, id), await this.claims.line(actor, id)];
    const photos = claim.inspectionId === null ? [] : await this.evidence.photos(actor, claim.inspectionId);
    sendPage(reply, <RetailerPhotos onlooker={onlookerOf(actor)} claim={claim} line={line} photos={photos} />);
  }

  /** One decision as a letter on a page. @throws Refused not-found where there is none of that number in force */
  async letter(actor: Actor, id: string, asked: AskedLetter, reply: FastifyReply): Promise<void> {
    const { claim, n, content } = await this.letterOf(actor, id, asked);
    sendPage(reply, <RetailerLetter onlooker={onlookerOf(actor)} claim={claim} n={n} content={content} />);
  }

  /** The same as a PDF, which a browser shows or keeps. @throws Refused as above */
  async letterFile(actor: Actor, id: string, asked: AskedLetter, reply: FastifyReply): Promise<void> {
    const { claim, n, content } = await this.letterOf(actor, id, asked);
    const name = `decision-${claim.number ?? claim.id.slice(0, 8)}-${n}-${content.lang}.pdf`;
    void reply
      .type('application/pdf')
      .header('content-disposition', `inline; filename="${name}"`)
      .header('cache-control', 'private, no-cache')
      .send(await letterPdf(content));
  }

  private async letterOf(actor: Actor, id: string, { n, lang }: AskedLetter) {
    const { claim, line, zone, letters } = await this.facts(actor, id);
    const letter = letters.find((each) => String(each.n) === n);
    if (letter === undefined) throw new Refused('not-found', 'There is no such letter on this claim.');
    const { house, address } = await this.own.letterhead(actor, claim.retailerId, letter.at);
    const { number, ground, filedAt, currency } = claim;
    const { retailer, orderReference, model, serial } = line;
    const about = { retailer, orderReference, model, serial, number, ground, filedAt, currency };
    return { claim, n: letter.n, content: letterContent({ ...about, address, house, zone, letter }, lang) };
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
  const { remedies, toRetailer } = body;
  const at = confirmedAt ?? decidedAt;
  return [{ n, outcome, remedies, totalMinor, at, replaced: state === 'superseded', toRetailer }];
}
