import { randomUUID } from 'node:crypto';
import { Body, Controller, Get, Post, Query, Res } from '@nestjs/common';
import { ApiExcludeController } from '@nestjs/swagger';
import type { FastifyReply } from 'fastify';
import { may, type Actor } from '../../access/access.contract.js';
import { CurrentActor, Needs } from '../../access/access.decorators.js';
import { AccessService } from '../../access/access.service.js';
import { CatalogueService } from '../../catalogue/catalogue.service.js';
import { InspectionWalkService } from '../../inspections/inspection-walk.service.js';
import { VisitsService } from '../../inspections/visits.service.js';
import { Clock } from '../../platform/clock.js';
import { Database } from '../../platform/db/database.js';
import { scopeOf } from '../../platform/http/caller.js';
import { IdParam } from '../../platform/http/id.pipe.js';
import { attempt, needId, needText, oneOf, text, type Form, type Trouble } from '../form-fields.js';
import { goTo, sendPage } from '../html.js';
import { onlookerOf } from '../onlookers.js';
import { PlanVisit } from '../pages/desk-plan-visit.js';
import { DeskVisit, DeskVisits, type DeskVisitView } from '../pages/desk-visits.js';
import { visitFrom } from '../visit-form.js';

const PAGE = 50;
const MOST_MODELS = 200;

/** Visits at the desk: the list, planning, and links for crews. */
@ApiExcludeController()
@Controller('desk/visits')
export class DeskVisitsController {
  constructor(
    private readonly visits: VisitsService,
    private readonly walk: InspectionWalkService,
    private readonly catalogue: CatalogueService,
    private readonly access: AccessService,
    private readonly db: Database,
    private readonly clock: Clock,
  ) {}

  @Get()
  @Needs('visit-link.manage')
  async list(@CurrentActor() actor: Actor, @Query() query: Form, @Res() reply: FastifyReply): Promise<void> {
    const cursor = text(query, 'cursor');
    const { items, next } = await this.visits.list(actor, { limit: PAGE, ...(cursor === '' ? {} : { cursor }) });
    sendPage(reply, <DeskVisits onlooker={onlookerOf(actor)} visits={items} next={next} laterPage={cursor !== ''} />);
  }

  @Get('new')
  @Needs('visit-link.manage')
  async planPage(@CurrentActor() actor: Actor, @Res() reply: FastifyReply): Promise<void> {
    await this.showPlan(actor, reply);
  }

  @Post()
  @Needs('visit-link.manage')
  async plan(@CurrentActor() actor: Actor, @Body() form: Form, @Res() reply: FastifyReply): Promise<void> {
    const done = await attempt(() => this.visits.plan(actor, visitFrom(form ?? {}), needId(form ?? {}, 'id')));
    if (done.ok) goTo(reply, `/desk/visits/${done.value.id}#links`);
    else await this.showPlan(actor, reply, done.trouble, form);
  }

  @Get(':id')
  @Needs('visit-link.manage')
  async visit(@CurrentActor() actor: Actor, @IdParam('id') id: string, @Res() reply: FastifyReply): Promise<void> {
    await this.show(actor, id, reply, {});
  }

  /** The secret of a link is shown in the answer to the form and nowhere else, so this one form does not lead on to another page. */
  @Post(':id/links')
  @Needs('visit-link.manage')
  async link(
    @CurrentActor() actor: Actor,
    @IdParam('id') id: string,
    @Body() form: Form,
    @Res() reply: FastifyReply,
  ): Promise<void> {
    const done = await attempt(() => {
      const crewName = needText(form ?? {}, 'crewName', 'The name of the crew', 200);
      const hours = Number(oneOf(form ?? {}, 'hours', ['24', '72', '168'] as const, 'How long the link works'));
      return this.db.inTenant(scopeOf(actor), (tx) =>
        this.access.createVisitLink(tx, actor, { visit: id, crewName, hours }),
      );
    });
    await this.show(actor, id, reply, done.ok ? { made: done.value } : { trouble: done.trouble, typed: form });
  }

  @Post(':id/links/:link/end')
  @Needs('visit-link.manage')
  async endLink(
    @CurrentActor() actor: Actor,
    @IdParam('id') id: string,
    @IdParam('link') link: string,
    @Res() reply: FastifyReply,
  ): Promise<void> {
    await this.access.endVisitLink(actor, id, link);
    goTo(reply, `/desk/visits/${id}#links`);
  }

  private async showPlan(actor: Actor, reply: FastifyReply, trouble?: Trouble, typed?: Form): Promise<void> {
    const { retailers, carriers } = await this.visits.everyCompany(actor);
    const { items } = await this.catalogue.list(actor, { limit: MOST_MODELS });
    const page = (
      <PlanVisit
        onlooker={onlookerOf(actor)}
        retailers={retailers}
        carriers={carriers}
        models={items}
        visitId={text(typed, 'id') || randomUUID()}
        trouble={trouble}
        typed={typed}
      />
    );
    sendPage(reply, page, trouble?.status ?? 200);
  }

  private async show(
    actor: Actor,
    id: string,
    reply: FastifyReply,
    more: Pick<DeskVisitView, 'made' | 'trouble' | 'typed'>,
  ): Promise<void> {
    const page = (
      <DeskVisit
        onlooker={onlookerOf(actor)}
        visit={await this.visits.read(actor, id)}
        links={await this.access.visitLinks(actor, id)}
        inspections={await this.walk.ofVisit(actor, id)}
        now={this.clock.now().toString()}
        mayLink={may(actor, 'visit-link.manage')}
        mayFill={may(actor, 'inspection.fill')}
        {...more}
      />
    );
    sendPage(reply, page, more.trouble?.status ?? 200);
  }
}
