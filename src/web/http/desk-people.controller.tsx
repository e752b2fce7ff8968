import { Body, Controller, Get, Post, Query, Res } from '@nestjs/common';
import { ApiExcludeController } from '@nestjs/swagger';
import type { FastifyReply } from 'fastify';
import { KEY_SCOPES, type Actor } from '../../access/access.contract.js';
import { CurrentActor, Needs } from '../../access/access.decorators.js';
import { ApiKeysService } from '../../access/api-keys.service.js';
import { PeopleService } from '../../access/people.service.js';
import { VisitsService } from '../../inspections/visits.service.js';
import { parseUuid } from '../../kernel/ids.js';
import { ROLES } from '../../kernel/vocabulary.js';
import { Clock } from '../../platform/clock.js';
import { isCalendarDate } from '../../platform/http/fields.js';
import { IdParam } from '../../platform/http/id.pipe.js';
import { attempt, fault, needText, text, texts, type Form } from '../form-fields.js';
import { goTo, sendPage } from '../html.js';
import { onlookerOf } from '../onlookers.js';
import { DeskPeople, type PeopleView } from '../pages/desk-people.js';

const PAGE = 100;

/** People and keys of the house, for its administrators. */
@ApiExcludeController()
@Controller('desk')
export class DeskPeopleController {
  constructor(
    private readonly people: PeopleService,
    private readonly keys: ApiKeysService,
    private readonly visits: VisitsService,
    private readonly clock: Clock,
  ) {}

  @Get('people')
  @Needs('people.manage')
  async page(@CurrentActor() actor: Actor, @Query() query: Form, @Res() reply: FastifyReply): Promise<void> {
    await this.show(actor, reply, {}, text(query, 'cursor'));
  }

  @Post('people')
  @Needs('people.manage')
  async add(@CurrentActor() actor: Actor, @Body() form: Form, @Res() reply: FastifyReply): Promise<void> {
    const done = await attempt(() => {
      const retailer = retailerFrom(form);
      const password = typeof form?.['password'] === 'string' ? form['password'] : '';
      const person = {
        name: needText(form ?? {}, 'name', 'The name', 200),
        email: needText(form ?? {}, 'email', 'The e-mail address', 320),
        roles: ROLES.filter((role) => texts(form, 'roles').includes(role)),
        password: password.slice(0, 1000),
      };
      if (!/^\S+@\S+$/.test(person.email)) throw fault('email', 'This is not an e-mail address.');
      return this.people.add(actor, { ...person, retailer });
    });
    if (done.ok) goTo(reply, '/desk/people#people');
    else await this.show(actor, reply, { tried: 'person', trouble: done.trouble, typed: form });
  }

  @Post('people/:id/disable')
  @Needs('people.manage')
  async disable(@CurrentActor() actor: Actor, @IdParam('id') id: string, @Res() reply: FastifyReply): Promise<void> {
    const done = await attempt(() => this.people.disable(actor, id));
    if (done.ok) goTo(reply, '/desk/people#people');
    else await this.show(actor, reply, { tried: 'change', trouble: done.trouble });
  }

  @Post('people/:id/enable')
  @Needs('people.manage')
  async enable(@CurrentActor() actor: Actor, @IdParam('id') id: string, @Res() reply: FastifyReply): Promise<void> {
    await this.people.enable(actor, id);
    goTo(reply, '/desk/people#people');
  }

  /** The secret of a key is shown in the answer to the form and nowhere else. */
  @Post('keys')
  @Needs('key.manage')
  async makeKey(@CurrentActor() actor: Actor, @Body() form: Form, @Res() reply: FastifyReply): Promise<void> {
    const done = await attempt(() => {
      const name = needText(form ?? {}, 'name', 'What the key is for', 200);
      const scopes = KEY_SCOPES.filter((scope) => texts(form, 'scopes').includes(scope));
      if (scopes.length === 0) throw fault('scopes', 'Tick at least one thing that the key may do.');
      return this.keys.create(actor, {
        name,
        scopes,
        retailer: retailerFrom(form),
        expiresAt: endOf(text(form, 'endsOn')),
      });
    });
    if (done.ok) await this.show(actor, reply, { made: { name: done.value.row.name, secret: done.value.secret } });
    else await this.show(actor, reply, { tried: 'key', trouble: done.trouble, typed: form });
  }

  @Post('keys/:id/end')
  @Needs('key.manage')
  async endKey(@CurrentActor() actor: Actor, @IdParam('id') id: string, @Res() reply: FastifyReply): Promise<void> {
    await this.keys.end(actor, id);
    goTo(reply, '/desk/people#keys');
  }

  private async show(
    actor: Actor,
    reply: FastifyReply,
    more: Pick<PeopleView, 'made' | 'tried' | 'trouble' | 'typed'>,
    cursor = '',
  ): Promise<void> {
    const people = await this.people.list(actor, { limit: PAGE, ...(cursor === '' ? {} : { cursor }) });
    const { retailers } = await this.visits.everyCompany(actor);
    const page = (
      <DeskPeople
        onlooker={onlookerOf(actor)}
        me={actor.id}
        people={people.items}
        next={people.next}
        keys={await this.keys.list(actor)}
        retailers={retailers}
        now={this.clock.now().toString()}
        {...more}
      />
    );
    sendPage(reply, page, more.trouble?.status ?? 200);
  }
}

function retailerFrom(form: Form): string | undefined {
  const given = text(form, 'retailer');
  if (given === '') return undefined;
  const id = parseUuid(given);
  if (id === undefined) throw fault('retailer', 'There is no such retailer.');
  return id;
}

/** The end of a day in UTC. */
function endOf(date: string): Temporal.Instant | undefined {
  if (date === '') return undefined;
  if (!isCalendarDate(date)) throw fault('endsOn', 'This is not a date.');
  return Temporal.PlainDate.from(date).add({ days: 1 }).toZonedDateTime('UTC').toInstant();
}
