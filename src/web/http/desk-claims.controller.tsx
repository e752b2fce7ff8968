import { Body, Controller, Get, Param, Post, Query, Res } from '@nestjs/common';
import { ApiExcludeController } from '@nestjs/swagger';
import type { FastifyReply } from 'fastify';
import type { Actor } from '../../access/access.contract.js';
import { CurrentActor, Needs } from '../../access/access.decorators.js';
import { ClaimsService } from '../../claims/claims.service.js';
import { Clock } from '../../platform/clock.js';
import { IdParam } from '../../platform/http/id.pipe.js';
import { Refused } from '../../platform/http/problems.js';
import { CLAIM_ACTS } from '../domain/claim-acts.js';
import { queueView } from '../domain/queue-views.js';
import { attempt, text, type Form } from '../form-fields.js';
import { goTo, sendPage } from '../html.js';
import { onlookerOf } from '../onlookers.js';
import { DeskQueue } from '../pages/desk-queue.js';
import { DeskActs } from './desk-acts.js';
import { DeskCasePages } from './desk-case.pages.js';

/** Claims in one page of the queue. */
const PAGE = 50;

/** The desk's queue and the pages of its cases. */
@ApiExcludeController()
@Controller('desk')
export class DeskClaimsController {
  constructor(
    private readonly claims: ClaimsService,
    private readonly cases: DeskCasePages,
    private readonly acts: DeskActs,
    private readonly clock: Clock,
  ) {}

  @Get()
  @Needs('recovery.read')
  async queue(@CurrentActor() actor: Actor, @Query() query: Form, @Res() reply: FastifyReply): Promise<void> {
    const find = text(query, 'find').slice(0, 80);
    const view = queueView(text(query, 'view'));
    const cursor = text(query, 'cursor');
    const { says: _says, empty: _empty, id: _id, ...filter } = view;
    const page = await this.claims.list(
      actor,
      { ...filter, ...(find === '' ? {} : { find }) },
      { limit: PAGE, ...(cursor === '' ? {} : { cursor }) },
    );
    sendPage(
      reply,
      <DeskQueue
        onlooker={onlookerOf(actor)}
        view={view}
        find={find}
        lines={page.items}
        next={page.next}
        laterPage={cursor !== ''}
        counts={await this.claims.counts(actor)}
        awaiting={await this.claims.awaitingCount(actor)}
        now={this.clock.now().toString()}
      />,
    );
  }

  @Get('claims/:id')
  @Needs('recovery.read')
  async case(@CurrentActor() actor: Actor, @IdParam('id') id: string, @Res() reply: FastifyReply): Promise<void> {
    await this.cases.show(actor, id, reply);
  }

  /** Every act on a claim. One that is refused brings the page back as it is now, with what was typed. */
  @Post('claims/:id/acts/:act')
  @Needs('claim.decide')
  async act(
    @CurrentActor() actor: Actor,
    @IdParam('id') id: string,
    @Param('act') name: string,
    @Body() form: Form,
    @Res() reply: FastifyReply,
  ): Promise<void> {
    const act = CLAIM_ACTS.find((each) => each === name);
    if (act === undefined) throw new Refused('not-found', 'There is no such act.');
    const done = await attempt(() => this.acts.do(actor, id, act, form ?? {}));
    if (done.ok) goTo(reply, `/desk/claims/${id}`);
    else await this.cases.show(actor, id, reply, { act, form, trouble: inWords(done.trouble) });
  }
}

/** A lost race in the words of the desk. */
function inWords<T extends { readonly code: string }>(trouble: T): T {
  if (trouble.code !== 'version-changed') return trouble;
  return {
    ...trouble,
    title: 'Somebody changed this claim in the meantime',
    detail:
      'The page shows it as it is now, and what you typed is kept. Look at what changed, then send it again if it still fits.',
  };
}
