import { Controller, Get, Query } from '@nestjs/common';
import { ApiExcludeController } from '@nestjs/swagger';
import type { Actor } from '../../access/access.contract.js';
import { CurrentActor, Needs } from '../../access/access.decorators.js';
import { ClaimsService } from '../../claims/claims.service.js';
import { Clock } from '../../platform/clock.js';
import type { QueueData } from '../domain/desk-data.js';
import { queueView } from '../domain/queue-views.js';
import { text, type Form } from '../form-fields.js';
import { onlookerOf } from '../onlookers.js';
import type { Onlooker } from '../pages/layout.js';

/** Claims in one page of the queue: drawn at once, moved through by key. */
const PAGE = 200;

/** What the desk shows, put together for its pages; what it does goes to the routes of the interface. */
@ApiExcludeController()
@Controller('desk-data')
export class DeskDataController {
  constructor(
    private readonly claims: ClaimsService,
    private readonly clock: Clock,
  ) {}

  @Get('me')
  @Needs('policy.read')
  me(@CurrentActor() actor: Actor): Onlooker & { readonly id: string } {
    return { id: actor.id, ...onlookerOf(actor) };
  }

  @Get('queue')
  @Needs('recovery.read')
  async queue(@CurrentActor() actor: Actor, @Query() query: Form): Promise<QueueData> {
    const find = text(query, 'find').slice(0, 80);
    const cursor = text(query, 'cursor');
    const { states, awaiting, order } = queueView(text(query, 'view'));
    const filter = { order, ...(states ? { states } : {}), ...(awaiting === undefined ? {} : { awaiting }) };
    const page = await this.claims.list(actor, find === '' ? filter : { order: 'newest', find }, {
      limit: PAGE,
      ...(cursor === '' ? {} : { cursor }),
    });
    return {
      lines: page.items,
      ...(page.next === undefined ? {} : { next: page.next }),
      counts: await this.claims.counts(actor),
      awaiting: await this.claims.awaitingCount(actor),
      now: this.clock.now().toString(),
    };
  }
}
