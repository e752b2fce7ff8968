import { Body, Controller, Get, Param, Post, Query, Req, Res } from '@nestjs/common';
import { ApiExcludeController } from '@nestjs/swagger';
import type { FastifyReply, FastifyRequest } from 'fastify';
import type { Actor } from '../../access/access.contract.js';
import { CurrentActor, Needs } from '../../access/access.decorators.js';
import { InspectionWalkService, nextStep, type WalkState } from '../../inspections/inspection-walk.service.js';
import { Clock } from '../../platform/clock.js';
import { isInstant } from '../../platform/http/fields.js';
import { IdParam } from '../../platform/http/id.pipe.js';
import { languageOf } from '../crew-language.js';
import { readAnswer } from '../domain/read-answer.js';
import { attempt, fault, maybeText, text, texts, type Form } from '../form-fields.js';
import { goTo, sendPage } from '../html.js';
import { CrewChecks } from '../pages/crew-checks.js';
import { CrewWalkPages, walkOf } from './crew-walk.pages.js';

/** The walk through a checklist, one check a page. A safety stop comes before every page of it. */
@ApiExcludeController()
@Controller('crew/inspections/:id')
export class CrewWalkController {
  constructor(
    private readonly pages: CrewWalkPages,
    private readonly walk: InspectionWalkService,
    private readonly clock: Clock,
  ) {}

  /** `?check=` names the check; without it, what comes next. */
  @Get()
  @Needs('inspection.fill')
  async check(
    @CurrentActor() actor: Actor,
    @IdParam('id') id: string,
    @Query() query: Form,
    @Req() request: FastifyRequest,
    @Res() reply: FastifyReply,
  ): Promise<void> {
    const state = await this.walk.read(actor, id);
    if (this.pages.stopped(state, request, reply)) return;
    const wanted = text(query, 'check');
    const next = nextStep(state);
    if (wanted !== '') {
      const photosFirst = text(query, 'photos') === 'owed';
      await this.pages.showCheck(actor, state, wanted, request, reply, { photosFirst });
    } else if (next.kind === 'item') goTo(reply, checkAddress(id, next.item.id));
    else goTo(reply, `/crew/inspections/${id}/send`);
  }

  @Get('checks')
  @Needs('inspection.fill')
  async checks(
    @CurrentActor() actor: Actor,
    @IdParam('id') id: string,
    @Req() request: FastifyRequest,
    @Res() reply: FastifyReply,
  ): Promise<void> {
    const state = await this.walk.read(actor, id);
    if (this.pages.stopped(state, request, reply)) return;
    const { visitId, finishedAt } = state.row;
    sendPage(
      reply,
      <CrewChecks
        id={id}
        visitId={visitId}
        walk={walkOf(state)}
        lang={languageOf(request)}
        finished={finishedAt !== null}
      />,
    );
  }

  @Post('answers')
  @Needs('inspection.fill')
  async answer(
    @CurrentActor() actor: Actor,
    @IdParam('id') id: string,
    @Body() form: Form,
    @Req() request: FastifyRequest,
    @Res() reply: FastifyReply,
  ): Promise<void> {
    const before = await this.walk.read(actor, id);
    const itemId = text(form, 'item');
    const done = await attempt(() => this.keepAnswer(actor, before, itemId, form));
    if (!done.ok) {
      const trouble = {
        ...done.trouble,
        detail:
          done.trouble.faults.length > 0 ? 'Nothing was kept yet. Look at the answer again.' : done.trouble.detail,
      };
      await this.pages.showCheck(actor, before, itemId, request, reply, { trouble, typed: form });
    } else if (done.value.owed.some(({ item }) => item === itemId) && nextStep(done.value).kind !== 'stop') {
      goTo(reply, `${checkAddress(id, itemId)}&photos=owed`);
    } else goTo(reply, `/crew/inspections/${id}`);
  }

  @Post('stops/:stop')
  @Needs('inspection.fill')
  async acknowledge(
    @CurrentActor() actor: Actor,
    @IdParam('id') id: string,
    @Param('stop') stop: string,
    @Body() form: Form,
    @Req() request: FastifyRequest,
    @Res() reply: FastifyReply,
  ): Promise<void> {
    if (text(form, 'stopRead') === '' || text(form, 'stopDone') === '') {
      const state = await this.walk.read(actor, id);
      if (!this.pages.stopped(state, request, reply, false)) goTo(reply, `/crew/inspections/${id}`);
      return;
    }
    await this.walk.acknowledge(actor, id, stop);
    goTo(reply, `/crew/inspections/${id}`);
  }

  @Get('send')
  @Needs('inspection.fill')
  async send(
    @CurrentActor() actor: Actor,
    @IdParam('id') id: string,
    @Req() request: FastifyRequest,
    @Res() reply: FastifyReply,
  ): Promise<void> {
    await this.pages.showSend(actor, id, request, reply, {});
  }

  private async keepAnswer(actor: Actor, before: WalkState, itemId: string, form: Form): Promise<WalkState> {
    const item = before.asked.find(({ id }) => id === itemId);
    if (item === undefined) throw fault('item', 'This check is not asked any more. Go on with the next one.');
    const photos = item.answer.type === 'photo' ? await this.pages.photos(actor, before.row.id) : [];
    const own = photos.filter((photo) => photo.item === itemId).map(({ id }) => id);
    const fields = { text: (name: string) => text(form, name), all: (name: string) => texts(form, name) };
    const read = readAnswer(item.answer, fields, before.located.unit, own);
    if (!read.ok) throw fault('answer', read.detail);
    const note = maybeText(form, 'note', 'The note');
    const answer = {
      item: itemId,
      value: read.value,
      answeredAt: this.timeOf(form),
      ...(note === undefined ? {} : { note }),
    };
    return this.walk.answer(actor, before.row.id, [answer]);
  }

  /** When the answer was given: as the phone noted it when it could not send at once, but never before the page could have been open for a week. */
  private timeOf(form: Form): string {
    const now = this.clock.now();
    const told = text(form, 'answeredAt');
    if (!isInstant(told)) return now.toString();
    const at = Temporal.Instant.from(told);
    const early = Temporal.Instant.compare(at, now.subtract({ hours: 24 * 7 })) < 0;
    return early || Temporal.Instant.compare(at, now) > 0 ? now.toString() : at.toString();
  }
}

function checkAddress(id: string, item: string): string {
  return `/crew/inspections/${id}?check=${encodeURIComponent(item)}`;
}
