import { randomUUID } from 'node:crypto';
import { Body, Controller, Delete, Get, HttpCode, Post } from '@nestjs/common';
import { ApiExcludeController } from '@nestjs/swagger';
import type { Actor } from '../../access/access.contract.js';
import { CurrentActor, Needs } from '../../access/access.decorators.js';
import { GROUNDS } from '../../kernel/vocabulary.js';
import { Clock } from '../../platform/clock.js';
import { Database } from '../../platform/db/database.js';
import { scopeOf } from '../../platform/http/caller.js';
import { IdParam } from '../../platform/http/id.pipe.js';
import { Invalid } from '../../platform/http/problems.js';
import type { OwnView } from '../domain/desk-data.js';
import { QUEUE_VIEWS } from '../domain/queue-views.js';
import { maybeText, needText, oneOf, text, type Form } from '../form-fields.js';
import { DeskViewStore, type ViewOwner } from '../store/desk-view.store.js';

/** More than fit on a screen help nobody. */
const MOST = 30;
const LONGEST_NAME = 60;
const LONGEST_FIND = 80;

/** Views of the queue that a person keeps under a name. Nobody else sees them. */
@ApiExcludeController()
@Controller('desk-data/views')
export class DeskDataViewsController {
  constructor(
    private readonly db: Database,
    private readonly store: DeskViewStore,
    private readonly clock: Clock,
  ) {}

  @Get()
  @Needs('recovery.read')
  list(@CurrentActor() actor: Actor): Promise<OwnView[]> {
    return this.db.inTenant(scopeOf(actor), (tx) => this.store.of(tx, ownerOf(actor)));
  }

  @Post()
  @Needs('recovery.read')
  async keep(@CurrentActor() actor: Actor, @Body() body: Form): Promise<OwnView> {
    const form = body ?? {};
    const view: OwnView = {
      id: randomUUID(),
      name: needText(form, 'name', 'The name', LONGEST_NAME),
      view: oneOf(
        form,
        'view',
        QUEUE_VIEWS.map(({ id }) => id),
        'The view',
      ),
      find: maybeText(form, 'find', 'What is looked for', LONGEST_FIND) ?? '',
      ground: text(form, 'ground') === '' ? '' : oneOf(form, 'ground', GROUNDS, 'The ground'),
    };
    return this.db.inTenant(scopeOf(actor), async (tx) => {
      const own = await this.store.of(tx, ownerOf(actor));
      if (own.filter(({ name }) => name !== view.name).length >= MOST) {
        const detail = `You keep ${MOST} views already. Forget one of them first.`;
        throw new Invalid([{ pointer: '#/name', detail }]);
      }
      await this.store.keep(tx, ownerOf(actor), view, this.clock.now().toString());
      return view;
    });
  }

  @Delete(':id')
  @HttpCode(204)
  @Needs('recovery.read')
  async forget(@CurrentActor() actor: Actor, @IdParam('id') id: string): Promise<void> {
    await this.db.inTenant(scopeOf(actor), (tx) => this.store.forget(tx, ownerOf(actor), id));
  }
}

function ownerOf({ tenant, id }: Actor): ViewOwner {
  return { tenant, person: id };
}
