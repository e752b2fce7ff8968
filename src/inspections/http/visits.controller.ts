import { Body, Controller, Get, Post, Put, Query, Req, Res } from '@nestjs/common';
import { ApiCreatedResponse, ApiOkResponse, ApiOperation, ApiTags } from '@nestjs/swagger';
import type { FastifyReply, FastifyRequest } from 'fastify';
import type { Actor } from '../../access/access.contract.js';
import { CurrentActor, Needs } from '../../access/access.decorators.js';
import { IdParam } from '../../platform/http/id.pipe.js';
import { Creates } from '../../platform/http/idempotency.js';
import { sendPage, type Page } from '../../platform/http/pages.js';
import { plainBody } from '../../platform/http/plain-body.js';
import { CREATION_PROBLEMS, Problems } from '../../platform/http/problem-docs.js';
import { IfMatch, NeedsVersion, setVersion, type VersionMatch } from '../../platform/http/versions.js';
import { VisitsService } from '../visits.service.js';
import { ReceiptBody, VisitBody, VisitListQuery, VisitPage, VisitView } from './visit.dto.js';
import { toVisitView, toVisitWish } from './visit.mapper.js';

/** Visits with their units and receipt. */
@ApiTags('visits')
@Controller('v1/visits')
export class VisitsController {
  constructor(private readonly visits: VisitsService) {}

  @Post()
  @Needs('visit.plan')
  @Creates()
  @ApiOperation({ summary: 'Plan a visit' })
  @ApiCreatedResponse({ type: VisitView })
  @Problems('unknown-model', 'amount-currency-differs', 'visit-exists', ...CREATION_PROBLEMS)
  async plan(
    @CurrentActor() actor: Actor,
    @Body() body: VisitBody,
    @Res({ passthrough: true }) reply: FastifyReply,
  ): Promise<VisitView> {
    const visit = await this.visits.plan(actor, toVisitWish(body));
    setVersion(reply, visit.version);
    void reply.header('location', `/v1/visits/${visit.id}`);
    return toVisitView(actor, visit);
  }

  @Get()
  @Needs('visit.read')
  @ApiOperation({ summary: 'List visits, the newest first' })
  @ApiOkResponse({ type: VisitPage })
  @Problems('cursor-invalid')
  async list(
    @CurrentActor() actor: Actor,
    @Query() query: VisitListQuery,
    @Req() request: FastifyRequest,
    @Res({ passthrough: true }) reply: FastifyReply,
  ): Promise<Page<VisitView>> {
    const page = await this.visits.list(actor, query);
    return sendPage(request, reply, { ...page, items: page.items.map((visit) => toVisitView(actor, visit)) });
  }

  @Get(':id')
  @Needs('visit.read')
  @ApiOperation({ summary: 'Read a visit' })
  @ApiOkResponse({ type: VisitView })
  @Problems('not-found')
  async read(
    @CurrentActor() actor: Actor,
    @IdParam('id') id: string,
    @Res({ passthrough: true }) reply: FastifyReply,
  ): Promise<VisitView> {
    const visit = await this.visits.read(actor, id);
    setVersion(reply, visit.version);
    return toVisitView(actor, visit);
  }

  @Put(':id/receipt')
  @Needs('visit.receive')
  @NeedsVersion()
  @ApiOperation({ summary: 'Note what the delivery receipt says' })
  @ApiOkResponse({ type: VisitView })
  @Problems('not-found', 'precondition-required', 'version-changed')
  async receive(
    @CurrentActor() actor: Actor,
    @IdParam('id') id: string,
    @IfMatch() match: VersionMatch,
    @Body() body: ReceiptBody,
    @Res({ passthrough: true }) reply: FastifyReply,
  ): Promise<VisitView> {
    const visit = await this.visits.receive(actor, id, match, plainBody(body));
    setVersion(reply, visit.version);
    return toVisitView(actor, visit);
  }
}
