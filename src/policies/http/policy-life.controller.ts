import { Body, Controller, HttpCode, Param, Post, Res, Get, Query } from '@nestjs/common';
import { ApiCreatedResponse, ApiOkResponse, ApiOperation, ApiTags } from '@nestjs/swagger';
import type { FastifyReply } from 'fastify';
import type { Actor } from '../../access/access.contract.js';
import { CurrentActor, Needs } from '../../access/access.decorators.js';
import { VersionParam } from '../../platform/documents/version.pipe.js';
import { Creates } from '../../platform/http/idempotency.js';
import { CREATION_PROBLEMS, Problems } from '../../platform/http/problem-docs.js';
import { IfMatch, NeedsVersion, type VersionMatch } from '../../platform/http/versions.js';
import { PolicyChecksService } from '../policy-checks.service.js';
import { PolicyVersionsService } from '../policy-versions.service.js';
import { PolicyDifference, PolicyEvidence } from './policy-evidence.dto.js';
import {
  ApprovalBody,
  CheckBody,
  DifferenceQuery,
  PolicyCheck,
  PolicyLife,
  ReasonBody,
  WordsBody,
} from './policy-life.dto.js';
import { sendLife } from './policy.mapper.js';

const STEP_PROBLEMS = [
  'not-found',
  'already-published',
  'precondition-required',
  'version-changed',
  'policy-state-forbids',
  ...CREATION_PROBLEMS,
] as const;

/** What happens to a version: looked at, proposed, approved by a second person, published, withdrawn. */
@ApiTags('policies')
@Controller('v1/policies')
export class PolicyLifeController {
  constructor(
    private readonly versions: PolicyVersionsService,
    private readonly checks: PolicyChecksService,
  ) {}

  @Post('checks')
  @Needs('policy.read')
  @HttpCode(200)
  @ApiOperation({ summary: 'Look at a document without keeping it: faults, examples, analysis, coverage' })
  @ApiOkResponse({ type: PolicyCheck })
  @Problems()
  async look(@CurrentActor() actor: Actor, @Body() body: CheckBody): Promise<PolicyCheck> {
    return this.checks.look(actor, body.document);
  }

  @Get(':code/versions/:version/check')
  @Needs('policy.read')
  @ApiOperation({ summary: 'Look at a version: examples, analysis with recent claims, coverage' })
  @ApiOkResponse({ type: PolicyCheck })
  @Problems('not-found')
  async check(
    @CurrentActor() actor: Actor,
    @Param('code') code: string,
    @VersionParam() version: number,
  ): Promise<PolicyCheck> {
    return this.checks.check(actor, { code, version });
  }

  @Get(':code/versions/:version/difference')
  @Needs('policy.read')
  @ApiOperation({ summary: 'Where a version decides otherwise than another one' })
  @ApiOkResponse({ type: PolicyDifference })
  @Problems('not-found')
  async difference(
    @CurrentActor() actor: Actor,
    @Param('code') code: string,
    @VersionParam() version: number,
    @Query() query: DifferenceQuery,
  ): Promise<PolicyDifference> {
    return this.checks.difference(actor, { code, version }, query.against);
  }

  @Get(':code/versions/:version/evidence')
  @Needs('policy.read')
  @ApiOperation({ summary: 'What an approver has to see of exactly this content' })
  @ApiOkResponse({ type: PolicyEvidence })
  @Problems('not-found')
  async evidence(
    @CurrentActor() actor: Actor,
    @Param('code') code: string,
    @VersionParam() version: number,
  ): Promise<PolicyEvidence> {
    return this.checks.evidence(actor, { code, version });
  }

  @Post(':code/versions/:version/proposal')
  @Needs('policy.edit')
  @NeedsVersion()
  @Creates()
  @ApiOperation({ summary: 'Put a draft before a second person' })
  @ApiCreatedResponse({ type: PolicyLife })
  @Problems(...STEP_PROBLEMS, 'policy-invalid')
  async propose(
    @CurrentActor() actor: Actor,
    @Param('code') code: string,
    @VersionParam() version: number,
    @IfMatch() match: VersionMatch,
    @Body() body: WordsBody,
    @Res({ passthrough: true }) reply: FastifyReply,
  ): Promise<PolicyLife> {
    return sendLife(reply, await this.versions.propose(actor, { code, version }, match, body.words));
  }

  @Post(':code/versions/:version/approval')
  @Needs('policy.publish')
  @NeedsVersion()
  @Creates()
  @ApiOperation({ summary: 'Approve exactly the content that you looked at, and put it on the calendar' })
  @ApiCreatedResponse({ type: PolicyLife })
  @Problems(...STEP_PROBLEMS, 'same-person', 'policy-content-changed', 'rehearsal-needed', 'policy-invalid')
  async approve(
    @CurrentActor() actor: Actor,
    @Param('code') code: string,
    @VersionParam() version: number,
    @IfMatch() match: VersionMatch,
    @Body() body: ApprovalBody,
    @Res({ passthrough: true }) reply: FastifyReply,
  ): Promise<PolicyLife> {
    const { hash, words, publish = true } = body;
    const approval = { hash, publish, ...(words === undefined ? {} : { words }) };
    return sendLife(reply, await this.versions.approve(actor, { code, version }, match, approval));
  }

  @Post(':code/versions/:version/rejection')
  @Needs('policy.publish')
  @NeedsVersion()
  @Creates()
  @ApiOperation({ summary: 'Send a proposal back, saying why' })
  @ApiCreatedResponse({ type: PolicyLife })
  @Problems(...STEP_PROBLEMS)
  async reject(
    @CurrentActor() actor: Actor,
    @Param('code') code: string,
    @VersionParam() version: number,
    @IfMatch() match: VersionMatch,
    @Body() body: ReasonBody,
    @Res({ passthrough: true }) reply: FastifyReply,
  ): Promise<PolicyLife> {
    return sendLife(reply, await this.versions.reject(actor, { code, version }, match, body.words));
  }

  @Post(':code/versions/:version/publication')
  @Needs('policy.publish')
  @Creates()
  @ApiOperation({ summary: 'Put an approved version on the calendar' })
  @ApiCreatedResponse({ type: PolicyLife })
  @Problems(
    'not-found',
    'already-published',
    'version-changed',
    'policy-state-forbids',
    'same-person',
    ...CREATION_PROBLEMS,
  )
  async publish(
    @CurrentActor() actor: Actor,
    @Param('code') code: string,
    @VersionParam() version: number,
    @Res({ passthrough: true }) reply: FastifyReply,
  ): Promise<PolicyLife> {
    return sendLife(reply, await this.versions.publish(actor, { code, version }));
  }

  @Post(':code/versions/:version/withdrawal')
  @Needs('policy.publish')
  @Creates()
  @ApiOperation({ summary: 'Take a version off the calendar, saying why; what governed before does so again' })
  @ApiCreatedResponse({ type: PolicyLife })
  @Problems('not-found', 'policy-state-forbids', ...CREATION_PROBLEMS)
  async withdraw(
    @CurrentActor() actor: Actor,
    @Param('code') code: string,
    @VersionParam() version: number,
    @Body() body: ReasonBody,
    @Res({ passthrough: true }) reply: FastifyReply,
  ): Promise<PolicyLife> {
    return sendLife(reply, await this.versions.withdraw(actor, { code, version }, body.words));
  }
}
