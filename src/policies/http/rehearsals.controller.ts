import { Readable } from 'node:stream';
import { Body, Controller, Get, Param, Post, Query, Req, Res } from '@nestjs/common';
import { ApiCreatedResponse, ApiOkResponse, ApiOperation, ApiProduces, ApiTags } from '@nestjs/swagger';
import type { FastifyReply, FastifyRequest } from 'fastify';
import type { Actor } from '../../access/access.contract.js';
import { CurrentActor, Needs } from '../../access/access.decorators.js';
import { VersionParam } from '../../platform/documents/version.pipe.js';
import { IdParam } from '../../platform/http/id.pipe.js';
import { Creates } from '../../platform/http/idempotency.js';
import { plainBody } from '../../platform/http/plain-body.js';
import { PageQuery, sendPage } from '../../platform/http/pages.js';
import { CREATION_PROBLEMS, Problems } from '../../platform/http/problem-docs.js';
import { RehearsalsService } from '../rehearsals.service.js';
import { changesAsCsv, changesAsJson } from '../rehearsal-export.js';
import {
  ChangesExportQuery,
  ChangesQuery,
  RehearsalBody,
  RehearsalChangePage,
  RehearsalPage,
  RehearsalView,
} from './rehearsal.dto.js';
import { toRehearsalView } from './rehearsal.mapper.js';

/** What a version would have made of past claims. */
@ApiTags('policies')
@Controller('v1')
export class RehearsalsController {
  constructor(private readonly rehearsals: RehearsalsService) {}

  @Post('policies/:code/versions/:version/rehearsals')
  @Needs('policy.read')
  @Creates()
  @ApiOperation({ summary: 'Rehearse a version on past claims, in the background' })
  @ApiCreatedResponse({ type: RehearsalView })
  @Problems('not-found', ...CREATION_PROBLEMS)
  async start(
    @CurrentActor() actor: Actor,
    @Param('code') code: string,
    @VersionParam() version: number,
    @Body() body: RehearsalBody,
    @Res({ passthrough: true }) reply: FastifyReply,
  ): Promise<RehearsalView> {
    const row = await this.rehearsals.start(actor, { code, version }, plainBody(body));
    void reply.header('location', `/v1/rehearsals/${row.id}`);
    return toRehearsalView(row);
  }

  @Get('policies/:code/rehearsals')
  @Needs('policy.read')
  @ApiOperation({ summary: 'The rehearsals of a policy, newest first' })
  @ApiOkResponse({ type: RehearsalPage })
  @Problems('cursor-invalid')
  async list(
    @CurrentActor() actor: Actor,
    @Param('code') code: string,
    @Query() query: PageQuery,
    @Req() request: FastifyRequest,
    @Res({ passthrough: true }) reply: FastifyReply,
  ): Promise<RehearsalPage> {
    const page = await this.rehearsals.list(actor, code, query);
    const items = page.items.map((row) => toRehearsalView(row, false));
    return { ...sendPage(request, reply, { ...page, items }), items };
  }

  @Get('rehearsals/:id')
  @Needs('policy.read')
  @ApiOperation({ summary: 'How far a rehearsal is, and what it found' })
  @ApiOkResponse({ type: RehearsalView })
  @Problems('not-found')
  async read(@CurrentActor() actor: Actor, @IdParam('id') id: string): Promise<RehearsalView> {
    return toRehearsalView(await this.rehearsals.read(actor, id));
  }

  @Get('rehearsals/:id/changes')
  @Needs('policy.read')
  @ApiOperation({ summary: 'The claims that come out otherwise, those first whose money changes most' })
  @ApiOkResponse({ type: RehearsalChangePage })
  @Problems('not-found', 'cursor-invalid')
  async changes(
    @CurrentActor() actor: Actor,
    @IdParam('id') id: string,
    @Query() query: ChangesQuery,
    @Req() request: FastifyRequest,
    @Res({ passthrough: true }) reply: FastifyReply,
  ): Promise<RehearsalChangePage> {
    const page = await this.rehearsals.changes(actor, id, query);
    return { ...sendPage(request, reply, page), items: [...page.items] };
  }

  @Get('rehearsals/:id/changes/export')
  @Needs('policy.read')
  @ApiOperation({ summary: 'All claims that come out otherwise as a file, those first whose money changes most' })
  @ApiProduces('text/csv', 'application/json')
  @ApiOkResponse({ schema: { type: 'string' } })
  @Problems('not-found')
  async export(
    @CurrentActor() actor: Actor,
    @IdParam('id') id: string,
    @Query() query: ChangesExportQuery,
    @Res() reply: FastifyReply,
  ): Promise<void> {
    const { format = 'csv' } = query;
    const { code, version } = await this.rehearsals.read(actor, id);
    const pages = this.rehearsals.allChanges(actor, id);
    void reply
      .type(format === 'csv' ? 'text/csv; charset=utf-8' : 'application/json')
      .header('content-disposition', `attachment; filename="rehearsal-${code}-${version}.${format}"`)
      .header('cache-control', 'no-store')
      .send(Readable.from(format === 'csv' ? changesAsCsv(pages) : changesAsJson(pages)));
  }

  @Post('rehearsals/:id/cancellation')
  @Needs('policy.read')
  @Creates()
  @ApiOperation({ summary: 'Stop a rehearsal' })
  @ApiCreatedResponse({ type: RehearsalView })
  @Problems('not-found', 'rehearsal-ended', ...CREATION_PROBLEMS)
  async cancel(@CurrentActor() actor: Actor, @IdParam('id') id: string): Promise<RehearsalView> {
    return toRehearsalView(await this.rehearsals.cancel(actor, id));
  }
}
