import { Body, Controller, Get, HttpCode, Param, Post, Query } from '@nestjs/common';
import { ApiExcludeController } from '@nestjs/swagger';
import { ACTS, may, type Actor } from '../../access/access.contract.js';
import { CurrentActor, Needs } from '../../access/access.decorators.js';
import { PeopleService } from '../../access/people.service.js';
import { ClaimTakersService } from '../../claims/claim-takers.service.js';
import { ClaimsService } from '../../claims/claims.service.js';
import { GROUNDS } from '../../kernel/vocabulary.js';
import { Clock } from '../../platform/clock.js';
import type { CaseData } from '../case-data.js';
import { CLAIM_ACTS } from '../domain/claim-acts.js';
import { deskDoors } from '../desk-doors.js';
import type { DeskOnlooker, QueueData } from '../domain/desk-data.js';
import { queueView } from '../domain/queue-views.js';
import { text, type Form } from '../form-fields.js';
import { IdParam } from '../../platform/http/id.pipe.js';
import { Refused } from '../../platform/http/problems.js';
import { DeskActs } from './desk-acts.js';
import { DeskCases } from './desk-cases.js';

/** Claims in one page of the queue: drawn at once, moved through by key. */
const PAGE = 200;

/** What the desk shows, put together for its pages; what it does goes to the routes of the interface. */
@ApiExcludeController()
@Controller('desk-data')
export class DeskDataController {
  constructor(
    private readonly claims: ClaimsService,
    private readonly takers: ClaimTakersService,
    private readonly cases: DeskCases,
    private readonly acts: DeskActs,
    private readonly people: PeopleService,
    private readonly clock: Clock,
  ) {}

  @Get('me')
  @Needs('policy.read')
  me(@CurrentActor() actor: Actor): DeskOnlooker {
    const acts = ACTS.filter((act) => may(actor, act));
    return { id: actor.id, name: actor.name, doors: deskDoors(actor), acts };
  }

  /** Names of the people of the house by id, for whatever is told with the id of whoever did it. */
  @Get('names')
  @Needs('policy.read')
  names(@CurrentActor() actor: Actor): Promise<Readonly<Record<string, string>>> {
    return this.people.staffNames(actor);
  }

  @Get('queue')
  @Needs('recovery.read')
  async queue(@CurrentActor() actor: Actor, @Query() query: Form): Promise<QueueData> {
    const find = text(query, 'find').slice(0, 80);
    const cursor = text(query, 'cursor');
    const { states, awaiting, mine, order } = queueView(text(query, 'view'));
    const ground = GROUNDS.find((each) => each === text(query, 'ground'));
    const filter = {
      order,
      ...(states ? { states } : {}),
      ...(awaiting === undefined ? {} : { awaiting }),
      ...(mine === true ? { takenBy: actor.id } : {}),
      ...(ground === undefined ? {} : { ground }),
      ...(find === '' ? {} : { find }),
    };
    const page = await this.claims.list(actor, filter, { limit: PAGE, ...(cursor === '' ? {} : { cursor }) });
    return {
      lines: page.items,
      ...(page.next === undefined ? {} : { next: page.next }),
      counts: await this.claims.counts(actor),
      awaiting: await this.claims.awaitingCount(actor),
      mine: await this.takers.mine(actor),
      now: this.clock.now().toString(),
    };
  }

  @Get('cases/:id')
  @Needs('recovery.read')
  async case(@CurrentActor() actor: Actor, @IdParam('id') id: string): Promise<CaseData> {
    return { ...(await this.cases.read(actor, id)), now: this.clock.now().toString() };
  }

  /** One act on a claim; the body holds what was typed, `version` the version that was on the screen. */
  @Post('cases/:id/acts/:act')
  @HttpCode(204)
  @Needs('claim.decide')
  async act(
    @CurrentActor() actor: Actor,
    @IdParam('id') id: string,
    @Param('act') name: string,
    @Body() form: Form,
  ): Promise<void> {
    const act = CLAIM_ACTS.find((each) => each === name);
    if (act === undefined) throw new Refused('not-found', 'There is no such act.');
    await this.acts.do(actor, id, act, form ?? {});
  }
}
