import { Body, Controller, Get, HttpCode, Param, Post, Query, Req, Res } from '@nestjs/common';
import { ApiCreatedResponse, ApiOkResponse, ApiOperation, ApiTags } from '@nestjs/swagger';
import type { FastifyReply, FastifyRequest } from 'fastify';
import type { Actor } from '../../access/access.contract.js';
import { CurrentActor, Needs } from '../../access/access.decorators.js';
import { VersionParam } from '../../platform/documents/version.pipe.js';
import { Creates } from '../../platform/http/idempotency.js';
import { plainBody } from '../../platform/http/plain-body.js';
import { PageQuery, sendPage, type Page } from '../../platform/http/pages.js';
import { CREATION_PROBLEMS, Problems } from '../../platform/http/problem-docs.js';
import { PoliciesService, type PolicyEvaluation } from '../policies.service.js';
import {
  EvaluationBody,
  EvaluationView,
  PolicyDraftBody,
  PolicyPage,
  PolicyVersion,
  type PolicySummary,
} from './policy.dto.js';
import { toPolicySummary, toPolicyVersion } from './policy.mapper.js';

/** The rules: versioned, dated, published by a second person. */
@ApiTags('policies')
@Controller('v1/policies')
export class PoliciesController {
  constructor(private readonly policies: PoliciesService) {}

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
    return sendPage(request, reply, { ...page, items: page.items.map(toPolicySummary) });
  }

  @Get(':code/versions/:version')
  @Needs('policy.read')
  @ApiOperation({ summary: 'Read one version of a policy' })
  @ApiOkResponse({ type: PolicyVersion })
  @Problems('not-found')
  async read(
    @CurrentActor() actor: Actor,
    @Param('code') code: string,
    @VersionParam() version: number,
  ): Promise<PolicyVersion> {
    return toPolicyVersion(await this.policies.read(actor, { code, version }));
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
    const row = await this.policies.draft(actor, code, body.document, body.effectiveFrom);
    void reply.header('location', `/v1/policies/${row.code}/versions/${row.version}`);
    return toPolicyVersion(row);
  }

  @Post(':code/versions/:version/publication')
  @Needs('policy.publish')
  @Creates()
  @ApiOperation({ summary: 'Publish a draft that somebody else wrote' })
  @ApiCreatedResponse({ type: PolicyVersion })
  @Problems('not-found', 'same-person', 'already-published', 'version-changed', 'policy-invalid', ...CREATION_PROBLEMS)
  async publish(
    @CurrentActor() actor: Actor,
    @Param('code') code: string,
    @VersionParam() version: number,
  ): Promise<PolicyVersion> {
    return toPolicyVersion(await this.policies.publish(actor, { code, version }));
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
