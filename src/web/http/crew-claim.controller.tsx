import { Body, Controller, Get, Post, Req, Res } from '@nestjs/common';
import { ApiExcludeController } from '@nestjs/swagger';
import type { FastifyReply, FastifyRequest } from 'fastify';
import type { Actor } from '../../access/access.contract.js';
import { CurrentActor, Needs } from '../../access/access.decorators.js';
import { standsAt } from '../../claims/claims.contract.js';
import { ClaimsService, type NewClaim } from '../../claims/claims.service.js';
import { InspectionWalkService, type WalkState } from '../../inspections/inspection-walk.service.js';
import { VisitsService } from '../../inspections/visits.service.js';
import { showClaimNumber } from '../../kernel/claim-number.js';
import { REMEDIES, type Ground } from '../../kernel/vocabulary.js';
import { Clock } from '../../platform/clock.js';
import { IdParam } from '../../platform/http/id.pipe.js';
import { VersionMatch } from '../../platform/http/versions.js';
import { languageOf } from '../crew-language.js';
import { readLocal } from '../domain/time-words.js';
import { gapsOf } from '../domain/walk-view.js';
import { attempt, fault, maybeText, needId, oneOf, text, type Form } from '../form-fields.js';
import { goTo, sendPage } from '../html.js';
import { CLAIM_KINDS, CrewSent, type ClaimKind } from '../pages/crew-send.js';
import { CrewWalkPages } from './crew-walk.pages.js';

const GROUNDS: Readonly<Record<ClaimKind, Ground>> = {
  visible: 'damage',
  concealed: 'damage',
  doa: 'dead on arrival',
  shortage: 'shortage',
  warranty: 'warranty',
};

/** What the words of a damage claim begin with, since both kinds of damage are one ground. */
const SEEN: Readonly<Partial<Record<ClaimKind, string>>> = {
  visible: 'Seen before the carton was opened.',
  concealed: 'Found after the carton was opened.',
};

/** Closing an inspection, and the claim that comes of it. */
@ApiExcludeController()
@Controller('crew')
export class CrewClaimController {
  constructor(
    private readonly pages: CrewWalkPages,
    private readonly walk: InspectionWalkService,
    private readonly visits: VisitsService,
    private readonly claims: ClaimsService,
    private readonly clock: Clock,
  ) {}

  /** Nothing is wrong: the inspection is closed and no claim made. */
  @Post('inspections/:id/completion')
  @Needs('inspection.fill')
  async complete(
    @CurrentActor() actor: Actor,
    @IdParam('id') id: string,
    @Body() form: Form,
    @Req() request: FastifyRequest,
    @Res() reply: FastifyReply,
  ): Promise<void> {
    const done = await attempt(async () => this.finish(actor, await this.walk.read(actor, id), form));
    if (!done.ok) await this.pages.showSend(actor, id, request, reply, { trouble: done.trouble, typed: form });
    else goTo(reply, `/crew/visits/${done.value.row.visitId}`);
  }

  /** Closes the inspection and files the claim. The claim's id stands in the form, so a second tap answers with the same claim. */
  @Post('inspections/:id/claim')
  @Needs('claim.file')
  async file(
    @CurrentActor() actor: Actor,
    @IdParam('id') id: string,
    @Body() form: Form,
    @Req() request: FastifyRequest,
    @Res() reply: FastifyReply,
  ): Promise<void> {
    const done = await attempt(async () => {
      const state = await this.walk.read(actor, id);
      const visit = await this.visits.read(actor, state.row.visitId);
      const wish = this.claimFrom(form, state, visit.zone);
      await this.finish(actor, state, form);
      return this.claims.open(actor, wish);
    });
    if (done.ok) goTo(reply, `/crew/claims/${done.value.id}`);
    else await this.pages.showSend(actor, id, request, reply, { trouble: done.trouble, typed: form });
  }

  @Get('claims/:id')
  @Needs('claim.read')
  async sent(
    @CurrentActor() actor: Actor,
    @IdParam('id') id: string,
    @Req() request: FastifyRequest,
    @Res() reply: FastifyReply,
  ): Promise<void> {
    const claim = await this.claims.get(actor, id);
    const standing = standsAt(claim.state, null, null, null);
    const page = (
      <CrewSent
        claimId={id}
        groups={showClaimNumber(claim.number ?? '').split(' ')}
        standing={`${standing.says} ${standing.next}`}
        lang={languageOf(request)}
        visitId={claim.visitId}
        inspectionId={claim.inspectionId}
      />
    );
    sendPage(reply, page);
  }

  private async finish(actor: Actor, state: WalkState, form: Form): Promise<WalkState> {
    if (state.row.finishedAt !== null) return state;
    const gaps = gapsOf({ ...state, checklist: state.located.checklist, unit: state.located.unit });
    const reason = maybeText(form, 'reason', 'The reason');
    if (gaps.items.length + gaps.photos.length > 0 && reason === undefined) {
      throw fault('reason', 'Checks or photos are missing. Say why they stay open, or go back and fill them in.');
    }
    const wish = reason === undefined ? { acceptGaps: false } : { acceptGaps: true, reason };
    return this.walk.complete(actor, state.row.id, VersionMatch.read(`"v${state.row.version}"`), wish);
  }

  private claimFrom(form: Form, state: WalkState, zone: string): NewClaim {
    const kind = oneOf(form, 'kind', CLAIM_KINDS, 'What the claim is about');
    const noticedAt = readLocal(text(form, 'noticedAt'), zone);
    if (noticedAt === undefined) throw fault('noticedAt', 'The time is missing or no time. Give day and hour.');
    if (Temporal.Instant.compare(Temporal.Instant.from(noticedAt), this.clock.now().add({ minutes: 10 })) > 0) {
      throw fault('noticedAt', 'This time lies in the future. Check day and hour.');
    }
    const words = [SEEN[kind], maybeText(form, 'words', 'The text', 1900)]
      .filter((each) => each !== undefined)
      .join('\n');
    return {
      id: needId(form, 'claim'),
      visitId: state.row.visitId,
      serial: state.located.unit.serial,
      inspectionId: state.row.id,
      ground: GROUNDS[kind],
      returnReason: null,
      wish: REMEDIES.find((remedy) => remedy === text(form, 'wish')) ?? null,
      words: words === '' ? null : words,
      failedRepairs: 0,
      noticedAt,
      noticeToCarrierAt: null,
      file: true,
    };
  }
}
