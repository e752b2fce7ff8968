import { Body, Controller, Get, Post, Query, Res } from '@nestjs/common';
import { ApiExcludeController } from '@nestjs/swagger';
import type { FastifyReply } from 'fastify';
import { RETAILER_KEY_SCOPES, type Actor } from '../../access/access.contract.js';
import { CurrentActor, Needs } from '../../access/access.decorators.js';
import { ApiKeysService } from '../../access/api-keys.service.js';
import { Clock } from '../../platform/clock.js';
import { isCalendarDate } from '../../platform/http/fields.js';
import { IdParam } from '../../platform/http/id.pipe.js';
import { demandRetailer } from '../demand-retailer.js';
import { attempt, fault, needText, text, texts, type Form } from '../form-fields.js';
import { goTo, sendPage } from '../html.js';
import { onlookerOf } from '../onlookers.js';
import { RetailerKeys, type OwnKey, type RetailerKeysView } from '../pages/retailer-keys.js';
import { RetailerWebhooks } from '../pages/retailer-webhooks.js';

/** The keys of a retailer's own programs, and what there is in place of calls to its addresses. */
@ApiExcludeController()
@Controller('claims')
export class RetailerKeysController {
  constructor(
    private readonly keys: ApiKeysService,
    private readonly clock: Clock,
  ) {}

  @Get('keys')
  @Needs('own-key.manage')
  async page(@CurrentActor() actor: Actor, @Query() query: Form, @Res() reply: FastifyReply): Promise<void> {
    demandRetailer(actor);
    const keys = await this.keys.list(actor);
    const replaced = keys.find(({ id }) => id === text(query, 'replace'));
    this.send(actor, reply, keys, {
      typed: replaced === undefined ? {} : { name: replaced.name, scopes: [...replaced.scopes] },
      formOpen: replaced !== undefined || keys.length === 0,
      replaced,
    });
  }

  /** The secret of a key is shown in the answer to the form and nowhere else. */
  @Post('keys')
  @Needs('own-key.manage')
  async make(@CurrentActor() actor: Actor, @Body() form: Form, @Res() reply: FastifyReply): Promise<void> {
    demandRetailer(actor);
    const done = await attempt(() => {
      const name = needText(form ?? {}, 'name', 'What the key is for', 200);
      const scopes = RETAILER_KEY_SCOPES.filter((scope) => texts(form, 'scopes').includes(scope));
      if (scopes.length === 0) throw fault('scopes', 'Tick at least one thing that the key may do.');
      return this.keys.create(actor, { name, scopes, expiresAt: this.endOf(text(form, 'endsOn')) });
    });
    const keys = await this.keys.list(actor);
    const replaced = keys.find(({ id }) => id === text(form, 'replaces'));
    if (done.ok) {
      const made = { name: done.value.row.name, secret: done.value.secret };
      void reply.header('cache-control', 'no-store');
      this.send(actor, reply, keys, { typed: {}, formOpen: false, made, replaced });
    } else {
      this.send(actor, reply, keys, { typed: form ?? {}, formOpen: true, replaced, trouble: done.trouble });
    }
  }

  @Post('keys/:id/end')
  @Needs('own-key.manage')
  async end(@CurrentActor() actor: Actor, @IdParam('id') id: string, @Res() reply: FastifyReply): Promise<void> {
    demandRetailer(actor);
    await this.keys.end(actor, id);
    goTo(reply, '/claims/keys#keys');
  }

  @Get('webhooks')
  @Needs('claim.read')
  webhooks(@CurrentActor() actor: Actor, @Res() reply: FastifyReply): void {
    demandRetailer(actor);
    sendPage(reply, <RetailerWebhooks onlooker={onlookerOf(actor)} />);
  }

  /** The end of a day in UTC, which must not be over. */
  private endOf(date: string): Temporal.Instant | undefined {
    if (date === '') return undefined;
    if (!isCalendarDate(date)) throw fault('endsOn', 'This is not a date.');
    const end = Temporal.PlainDate.from(date).add({ days: 1 }).toZonedDateTime('UTC').toInstant();
    if (Temporal.Instant.compare(end, this.clock.now()) <= 0)
      throw fault('endsOn', 'This day is over. Choose a later one.');
    return end;
  }

  private send(
    actor: Actor,
    reply: FastifyReply,
    keys: readonly OwnKey[],
    more: Omit<RetailerKeysView, 'onlooker' | 'keys' | 'now'>,
  ): void {
    const now = this.clock.now().toString();
    const page = <RetailerKeys onlooker={onlookerOf(actor)} keys={keys} now={now} {...more} />;
    sendPage(reply, page, more.trouble?.status ?? 200);
  }
}
