import { Body, Controller, Get, HttpCode, Param, Post, Put, Query, Req, Res } from '@nestjs/common';
import { ApiCreatedResponse, ApiOkResponse, ApiOperation, ApiTags } from '@nestjs/swagger';
import type { FastifyReply, FastifyRequest } from 'fastify';
import type { Actor } from '../../access/access.contract.js';
import { CurrentActor, Needs } from '../../access/access.decorators.js';
import { VersionParam } from '../../platform/documents/version.pipe.js';
import { Creates } from '../../platform/http/idempotency.js';
import { plainBody } from '../../platform/http/plain-body.js';
import { PageQuery, sendPage, type Page } from '../../platform/http/pages.js';
import { CREATION_PROBLEMS, Problems } from '../../platform/http/problem-docs.js';
import { IfMatch, NeedsVersion, setVersion, type VersionMatch } from '../../platform/http/versions.js';
import { PoliciesService, type PolicyEvaluation } from '../policies.service.js';
import { PolicyVersionsService } from '../policy-versions.service.js';
import {
  EvaluationBody,
  EvaluationView,
  PolicyDraftBody,
  PolicyPage,
  PolicyVersion,
  type PolicySummary,
} from './policy.dto.js';
import { PolicyLife, PolicyVersions, VersionsQuery } from './policy-life.dto.js';
import { sendLife, toCalendarEntry, toPolicySummary, toPolicyVersion } from './policy.mapper.js';

/** The rules: versioned, dated, written as drafts and run. */
@ApiTags('policies')
@Controller('v1/policies')
export class PoliciesController {
  constructor(
    private readonly policies: PoliciesService,
    private readonly versions: PolicyVersionsService,
  ) {}

  @Get()
  @Needs('policy.read')
  @ApiOperation({ summary: 'List the versions of all policies' })
  @ApiOkResponse({ type: PolicyPage })
  @Problems('cursor-invalid')
  async list(
    @CurrentActor() actor: Actor,
    @Query() query: PageQuery,
    @Req() request: FastifyRequest,
    @Res({ passthrough: true }) reply: FastifyReply,
  ): Promise<Page<PolicySummary>> {
    const page = await this.policies.list(actor, query);
    const items = await this.versions.standing(actor, page.items);
    return sendPage(request, reply, { ...page, items: items.map(toPolicySummary) });
  }

  @Get(':code/versions')
  @Needs('policy.read')
  @ApiOperation({
    summary: 'The versions of a policy and its calendar, or the version that governs on a day, as known at an instant',
  })
  @ApiOkResponse({ type: PolicyVersions })
  @Problems('not-found')
  async ofCode(
    @CurrentActor() actor: Actor,
    @Param('code') code: string,
    @Query() query: VersionsQuery,
  ): Promise<PolicyVersions> {
    const { versions, calendar } = await this.versions.ofCode(actor, code, query.asOf);
    const held = query.on === undefined ? versions : [await this.versions.holding(actor, code, query.on, query.asOf)];
    return { items: held.map(toPolicySummary), calendar: calendar.map(toCalendarEntry) };
  }

  @Get(':code/versions/:version')
  @Needs('policy.read')
  @ApiOperation({ summary: 'Read one version of a policy with its steps' })
  @ApiOkResponse({ type: PolicyLife })
  @Problems('not-found')
  async read(
    @CurrentActor() actor: Actor,
    @Param('code') code: string,
    @VersionParam() version: number,
    @Res({ passthrough: true }) reply: FastifyReply,
  ): Promise<PolicyLife> {
    return sendLife(reply, await this.versions.life(actor, { code, version }));
  }

  @Post(':code/versions')
  @Needs('policy.edit')
  @Creates()
  @ApiOperation({ summary: 'Write a new version of a policy as a draft' })
  @ApiCreatedResponse({ type: PolicyVersion })
  @Problems('policy-invalid', ...CREATION_PROBLEMS)
  async draft(
    @CurrentActor() actor: Actor,
    @Param('code') code: string,
    @Body() body: PolicyDraftBody,
    @Res({ passthrough: true }) reply: FastifyReply,
  ): Promise<PolicyVersion> {
    const { document, ...days } = plainBody(body);
    const row = await this.policies.draft(actor, code, document, days);
    void reply.header('location', `/v1/policies/${row.code}/versions/${row.version}`);
    setVersion(reply, row.edit);
    return toPolicyVersion({ row, state: 'draft', periods: [] });
  }

  @Put(':code/versions/:version')
  @Needs('policy.edit')
  @NeedsVersion()
  @ApiOperation({ summary: 'Change a version that is not published; a proposal or an approval of it is void' })
  @ApiOkResponse({ type: PolicyLife })
  @Problems('not-found', 'already-published', 'precondition-required', 'version-changed', 'policy-invalid')
  async edit(
    @CurrentActor() actor: Actor,
    @Param('code') code: string,
    @VersionParam() version: number,
    @IfMatch() match: VersionMatch,
    @Body() body: PolicyDraftBody,
    @Res({ passthrough: true }) reply: FastifyReply,
  ): Promise<PolicyLife> {
    return sendLife(reply, await this.versions.edit(actor, { code, version }, match, plainBody(body)));
  }

  @Post(':code/evaluations')
  @Needs('policy.read')
  @HttpCode(200)
  @ApiOperation({ summary: 'Run a policy on facts, without effect' })
  @ApiOkResponse({ type: EvaluationView })
  @Problems('not-found')
  async evaluate(
    @CurrentActor() actor: Actor,
    @Param('code') code: string,
    @Body() body: EvaluationBody,
  ): Promise<PolicyEvaluation> {
    return this.policies.evaluate(actor, code, plainBody(body));
  }
}
