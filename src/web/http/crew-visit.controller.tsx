import { randomUUID } from 'node:crypto';
import { Body, Controller, Get, Post, Query, Req, Res } from '@nestjs/common';
import { ApiExcludeController } from '@nestjs/swagger';
import type { FastifyReply, FastifyRequest } from 'fastify';
import type { Actor } from '../../access/access.contract.js';
import { CurrentActor, Needs, Public } from '../../access/access.decorators.js';
import { CredentialsService } from '../../access/credentials.service.js';
import { ClaimsService } from '../../claims/claims.service.js';
import { InspectionWalkService } from '../../inspections/inspection-walk.service.js';
import type { VisitFacts } from '../../inspections/inspections.contract.js';
import { VisitsService } from '../../inspections/visits.service.js';
import { showClaimNumber } from '../../kernel/claim-number.js';
import { RECEIPTS } from '../../kernel/vocabulary.js';
import { Clock } from '../../platform/clock.js';
import { IdParam } from '../../platform/http/id.pipe.js';
import { PROBLEMS, Refused } from '../../platform/http/problems.js';
import { languageOf, rememberLanguage } from '../crew-language.js';
import { readLocal } from '../domain/time-words.js';
import {
  attempt,
  fault,
  maybeText,
  needId,
  needText,
  oneOf,
  text,
  versionSeen,
  type Form,
  type Trouble,
} from '../form-fields.js';
import { goTo, sendPage } from '../html.js';
import { localAddress } from '../local-address.js';
import { CrewOpen } from '../pages/crew-open.js';
import { CrewVisit } from '../pages/crew-visit.js';
import { CrewVisits } from '../pages/crew-visits.js';

/** How a crew gets in by its link, and its visit: receipt and units. */
@ApiExcludeController()
@Controller()
export class CrewVisitController {
  constructor(
    private readonly credentials: CredentialsService,
    private readonly visits: VisitsService,
    private readonly walk: InspectionWalkService,
    private readonly claims: ClaimsService,
    private readonly clock: Clock,
  ) {}

  @Get('visit')
  @Public()
  linkPage(@Res() reply: FastifyReply): void {
    sendPage(reply, <CrewOpen />);
  }

  /** Changes the secret of a link for a cookie. People paste the whole link or only its end. */
  @Post('visit')
  @Public()
  async openLink(@Body() form: Form, @Res() reply: FastifyReply): Promise<void> {
    const given = text(form, 'link').slice(0, 400);
    const secret = given.slice(given.lastIndexOf('#') + 1);
    try {
      const { visit } = await this.credentials.openLink(secret, reply);
      goTo(reply, `/crew/visits/${visit}`);
    } catch (error) {
      if (!(error instanceof Refused)) throw error;
      const { status, title } = PROBLEMS[error.code];
      const detail =
        error.code === 'link-expired'
          ? 'Ask the office for a new one; it takes them a minute. What you have sent is safe, and what is on this phone stays there.'
          : (error.detail ?? `${title}.`);
      sendPage(reply, <CrewOpen trouble={{ status, code: error.code, title, detail, faults: [] }} />, status);
    }
  }

  @Get('crew/language')
  @Public()
  language(@Query() query: Form, @Res() reply: FastifyReply): void {
    rememberLanguage(reply, text(query, 'to') === 'es' ? 'es' : 'en');
    goTo(reply, localAddress(text(query, 'back'), '/crew'));
  }

  /** A crew that came by a link has one visit; a person sees those that they may see. */
  @Get('crew')
  @Needs('visit.read')
  async today(@CurrentActor() actor: Actor, @Req() request: FastifyRequest, @Res() reply: FastifyReply): Promise<void> {
    if (actor.visit !== undefined) goTo(reply, `/crew/visits/${actor.visit}`);
    else {
      const { items } = await this.visits.list(actor, { limit: 30 });
      sendPage(reply, <CrewVisits visits={items} lang={languageOf(request)} />);
    }
  }

  @Get('crew/visits/:id')
  @Needs('inspection.fill')
  async visit(
    @CurrentActor() actor: Actor,
    @IdParam('id') id: string,
    @Query() query: Form,
    @Req() request: FastifyRequest,
    @Res() reply: FastifyReply,
  ): Promise<void> {
    await this.show(actor, id, request, reply, { kept: text(query, 'kept') !== '' });
  }

  @Post('crew/visits/:id/receipt')
  @Needs('visit.receive')
  async receive(
    @CurrentActor() actor: Actor,
    @IdParam('id') id: string,
    @Body() form: Form,
    @Req() request: FastifyRequest,
    @Res() reply: FastifyReply,
  ): Promise<void> {
    const { zone } = await this.visits.read(actor, id);
    const done = await attempt(async () => {
      const kind = oneOf(form, 'kind', RECEIPTS, 'What the receipt says');
      const words = maybeText(form, 'words', 'The text');
      const deliveredAt = readLocal(text(form, 'deliveredAt'), zone);
      if (deliveredAt === undefined) throw fault('deliveredAt', 'The time is missing or no time. Give day and hour.');
      return this.visits.receive(actor, id, versionSeen(form), {
        kind,
        deliveredAt,
        ...(words === undefined ? {} : { words }),
      });
    });
    if (done.ok) goTo(reply, `/crew/visits/${id}?kept=receipt`);
    else await this.show(actor, id, request, reply, { trouble: done.trouble, typed: form });
  }

  @Post('crew/visits/:id/inspections')
  @Needs('inspection.fill')
  async start(
    @CurrentActor() actor: Actor,
    @IdParam('id') id: string,
    @Body() form: Form,
    @Req() request: FastifyRequest,
    @Res() reply: FastifyReply,
  ): Promise<void> {
    const done = await attempt(() =>
      this.walk.start(actor, id, {
        id: needId(form, 'id'),
        serial: needText(form, 'serial', 'The serial number', 64),
        startedAt: this.clock.now().toString(),
        foundAt: oneOf(form, 'foundAt', ['unboxing', 'assembly', 'use'] as const, 'Where the unit is now'),
      }),
    );
    if (done.ok) goTo(reply, `/crew/inspections/${done.value.row.id}`);
    else await this.show(actor, id, request, reply, { trouble: done.trouble });
  }

  private async show(
    actor: Actor,
    id: string,
    request: FastifyRequest,
    reply: FastifyReply,
    more: { readonly trouble?: Trouble; readonly typed?: Form; readonly kept?: boolean },
  ): Promise<void> {
    const visit = await this.visits.read(actor, id);
    const inspections = await this.walk.ofVisit(actor, id);
    const page = (
      <CrewVisit
        visit={visit}
        lang={languageOf(request)}
        now={this.clock.now().toString()}
        inspections={inspections.map((row) => ({ id: row.id, unitId: row.unitId, finished: row.finishedAt !== null }))}
        claims={await this.claimsOf(actor, visit)}
        freshIds={Object.fromEntries(visit.units.map((unit) => [unit.id, randomUUID()]))}
        {...more}
      />
    );
    sendPage(reply, page, more.trouble?.status ?? 200);
  }

  private async claimsOf(actor: Actor, { order, units }: VisitFacts) {
    const lines = await this.claims.page(actor, { order: 'newest', find: order.reference }, undefined, 50);
    return lines.flatMap(({ id, number, serial, orderReference }) =>
      number !== null && orderReference === order.reference && units.some((unit) => unit.serial === serial)
        ? [{ id, serial, number: showClaimNumber(number) }]
        : [],
    );
  }
}
