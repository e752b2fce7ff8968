import { randomUUID } from 'node:crypto';
import { Body, Controller, Get, Param, Post, Query, Res } from '@nestjs/common';
import { ApiExcludeController } from '@nestjs/swagger';
import type { FastifyReply } from 'fastify';
import type { Actor } from '../../access/access.contract.js';
import { CurrentActor, Needs } from '../../access/access.decorators.js';
import { ClaimReviewService } from '../../claims/claim-review.service.js';
import { ClaimsService } from '../../claims/claims.service.js';
import { VisitsService } from '../../inspections/visits.service.js';
import { GROUNDS } from '../../kernel/vocabulary.js';
import { Clock } from '../../platform/clock.js';
import { IdParam } from '../../platform/http/id.pipe.js';
import { PAGE_SIZE_MAX } from '../../platform/http/pages.js';
import { boardFilter, boardView, type BoardChoice } from '../domain/board-views.js';
import { letterLang } from '../domain/letter-words.js';
import { demandRetailer } from '../demand-retailer.js';
import { attempt, maybeText, needId, needText, oneOf, text, texts, versionSeen, type Form } from '../form-fields.js';
import { goTo, sendPage } from '../html.js';
import { onlookerOf } from '../onlookers.js';
import { RetailerBoard } from '../pages/retailer-board.js';
import type { RetailerClaimView } from '../pages/retailer-claim.js';
import { RetailerReturn } from '../pages/retailer-return.js';
import { RetailerClaimPages } from './retailer-claim.pages.js';

const PAGE = 50;
/** Visits looked through when a unit is sought for a return. */
const MOST_VISITS = 200;

/** The retailer's board and its claims. Row-level security shows it nothing but its own. */
@ApiExcludeController()
@Controller('claims')
export class RetailerController {
  constructor(
    private readonly claims: ClaimsService,
    private readonly review: ClaimReviewService,
    private readonly visits: VisitsService,
    private readonly pages: RetailerClaimPages,
    private readonly clock: Clock,
  ) {}

  @Get()
  @Needs('claim.read')
  async board(@CurrentActor() actor: Actor, @Query() query: Form, @Res() reply: FastifyReply): Promise<void> {
    demandRetailer(actor);
    const cursor = text(query, 'cursor');
    const choice = boardChoice(query);
    const { items, next } = await this.claims.list(
      actor,
      { ...boardFilter(choice), order: 'newest' },
      { limit: PAGE, ...(cursor === '' ? {} : { cursor }) },
    );
    const asked = await this.claims.list(actor, { asked: 'retailer', order: 'newest' }, { limit: PAGE_SIZE_MAX });
    sendPage(
      reply,
      <RetailerBoard
        onlooker={onlookerOf(actor)}
        choice={choice}
        lines={items}
        now={this.clock.now().toString()}
        asked={new Set(asked.items.map(({ id }) => id))}
        askedMore={asked.next !== undefined}
        next={next}
        laterPage={cursor !== ''}
      />,
    );
  }

  @Get('new')
  @Needs('claim.file')
  async returnPage(@CurrentActor() actor: Actor, @Query() query: Form, @Res() reply: FastifyReply): Promise<void> {
    demandRetailer(actor);
    await this.showReturn(actor, reply, text(query, 'find').slice(0, 80), {});
  }

  /** The claim's id stands in the form, so a second click answers with the same claim. */
  @Post()
  @Needs('claim.file')
  async openReturn(@CurrentActor() actor: Actor, @Body() form: Form, @Res() reply: FastifyReply): Promise<void> {
    demandRetailer(actor);
    const done = await attempt(() =>
      this.claims.open(actor, {
        id: needId(form ?? {}, 'id'),
        visitId: needId(form ?? {}, 'visit'),
        serial: needText(form ?? {}, 'serial', 'The unit', 64),
        inspectionId: null,
        ground: 'return',
        returnReason: oneOf(form ?? {}, 'why', ['change of mind', 'wrong item'] as const, 'Why it comes back'),
        wish: null,
        words: maybeText(form ?? {}, 'words', 'The text') ?? null,
        failedRepairs: 0,
        noticedAt: this.clock.now().toString({ smallestUnit: 'millisecond' }),
        noticeToCarrierAt: null,
        file: true,
      }),
    );
    if (done.ok) goTo(reply, `/claims/${done.value.id}`);
    else await this.showReturn(actor, reply, text(form, 'find'), { trouble: done.trouble, typed: form });
  }

  @Get(':id')
  @Needs('claim.read')
  async claim(
    @CurrentActor() actor: Actor,
    @IdParam('id') id: string,
    @Query() query: Form,
    @Res() reply: FastifyReply,
  ): Promise<void> {
    demandRetailer(actor);
    const done = (['answer', 'appeal'] as const).find((each) => each === text(query, 'done'));
    const keptIds = texts(query, 'kept');
    await this.pages.show(actor, id, reply, { keptIds, ...(done === undefined ? {} : { done }) });
  }

  @Get(':id/photos')
  @Needs('claim.read')
  async photos(@CurrentActor() actor: Actor, @IdParam('id') id: string, @Res() reply: FastifyReply): Promise<void> {
    demandRetailer(actor);
    await this.pages.photos(actor, id, reply);
  }

  @Get(':id/letters/:n')
  @Needs('claim.read')
  async letter(
    @CurrentActor() actor: Actor,
    @IdParam('id') id: string,
    @Param('n') n: string,
    @Query() query: Form,
    @Res() reply: FastifyReply,
  ): Promise<void> {
    demandRetailer(actor);
    await this.pages.letter(actor, id, { n, lang: letterLang(text(query, 'lang')) }, reply);
  }

  @Get(':id/letters/:n/pdf')
  @Needs('claim.read')
  async letterFile(
    @CurrentActor() actor: Actor,
    @IdParam('id') id: string,
    @Param('n') n: string,
    @Query() query: Form,
    @Res() reply: FastifyReply,
  ): Promise<void> {
    demandRetailer(actor);
    await this.pages.letterFile(actor, id, { n, lang: letterLang(text(query, 'lang')) }, reply);
  }

  @Post(':id/answer')
  @Needs('claim.inform')
  async answer(
    @CurrentActor() actor: Actor,
    @IdParam('id') id: string,
    @Body() form: Form,
    @Res() reply: FastifyReply,
  ): Promise<void> {
    demandRetailer(actor);
    const done = await attempt(() =>
      this.review.giveInformation(
        actor,
        id,
        { words: needText(form ?? {}, 'words', 'Your answer'), facts: {} },
        versionSeen(form ?? {}),
      ),
    );
    await this.after(actor, id, reply, done, { act: 'answer', form });
  }

  @Post(':id/appeal')
  @Needs('claim.appeal')
  async appeal(
    @CurrentActor() actor: Actor,
    @IdParam('id') id: string,
    @Body() form: Form,
    @Res() reply: FastifyReply,
  ): Promise<void> {
    demandRetailer(actor);
    const done = await attempt(() =>
      this.review.reopen(
        actor,
        id,
        { words: needText(form ?? {}, 'words', 'The text'), facts: {} },
        versionSeen(form ?? {}),
      ),
    );
    await this.after(actor, id, reply, done, { act: 'appeal', form });
  }

  private async after(
    actor: Actor,
    id: string,
    reply: FastifyReply,
    done: Awaited<ReturnType<typeof attempt>>,
    tried: Pick<NonNullable<RetailerClaimView['tried']>, 'act' | 'form'>,
  ): Promise<void> {
    if (done.ok) goTo(reply, `/claims/${id}?done=${tried.act}`);
    else
      await this.pages.show(actor, id, reply, { tried: { ...tried, form: tried.form ?? {}, trouble: done.trouble } });
  }

  private async showReturn(
    actor: Actor,
    reply: FastifyReply,
    find: string,
    more: Pick<Parameters<typeof RetailerReturn>[0], 'trouble' | 'typed'>,
  ): Promise<void> {
    const sought = find.trim().toLowerCase();
    const { items } = sought === '' ? { items: [] } : await this.visits.list(actor, { limit: MOST_VISITS });
    const visits = items.filter(
      ({ order, units }) =>
        order.reference.toLowerCase() === sought || units.some(({ serial }) => serial.toLowerCase() === sought),
    );
    const page = (
      <RetailerReturn
        onlooker={onlookerOf(actor)}
        find={find}
        visits={visits}
        claimId={text(more.typed, 'id') || randomUUID()}
        {...more}
      />
    );
    sendPage(reply, page, more.trouble?.status ?? 200);
  }
}

function boardChoice(query: Form): BoardChoice {
  const ground = text(query, 'ground');
  return {
    view: boardView(text(query, 'view')),
    find: text(query, 'find').slice(0, 80),
    ground: GROUNDS.find((each) => each === ground) ?? '',
  };
}
