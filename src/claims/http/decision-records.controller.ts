import { Controller, Get, Query } from '@nestjs/common';
import { ApiOkResponse, ApiOperation, ApiTags } from '@nestjs/swagger';
import type { Actor } from '../../access/access.contract.js';
import { CurrentActor, Needs } from '../../access/access.decorators.js';
import { IdParam } from '../../platform/http/id.pipe.js';
import { Problems } from '../../platform/http/problem-docs.js';
import { DecisionAnswersService } from '../decision-answers.service.js';
import { RehearsedClaimsService } from '../rehearsed-claims.service.js';
import {
  DecisionRecordList,
  DecisionRecordView,
  DecisionWhy,
  DecisionWhyNot,
  RehearsedClaimView,
  ReplayView,
  toRecordSummary,
  toRecordView,
  WhyNotQuery,
} from './decision-records.dto.js';

/** What is kept of each judgement of a claim by a policy. */
@ApiTags('decision records')
@Controller('v1')
export class DecisionRecordsController {
  constructor(
    private readonly answers: DecisionAnswersService,
    private readonly rehearsed: RehearsedClaimsService,
  ) {}

  @Get('claims/:id/decision-records')
  @Needs('policy.read')
  @ApiOperation({ summary: 'The judgements of a claim by policies, oldest first' })
  @ApiOkResponse({ type: DecisionRecordList })
  @Problems('not-found')
  async ofClaim(@CurrentActor() actor: Actor, @IdParam('id') id: string): Promise<DecisionRecordList> {
    return { items: (await this.answers.ofClaim(actor, id)).map(toRecordSummary) };
  }

  @Get('decision-records/:id')
  @Needs('policy.read')
  @ApiOperation({ summary: 'One judgement with its facts and its outcome' })
  @ApiOkResponse({ type: DecisionRecordView })
  @Problems('not-found')
  async read(@CurrentActor() actor: Actor, @IdParam('id') id: string): Promise<DecisionRecordView> {
    return toRecordView(await this.answers.read(actor, id));
  }

  @Get('decision-records/:id/why')
  @Needs('policy.read')
  @ApiOperation({ summary: 'How the outcome came about, rule by rule, in the words of the policy' })
  @ApiOkResponse({ type: DecisionWhy })
  @Problems('not-found')
  async why(@CurrentActor() actor: Actor, @IdParam('id') id: string): Promise<DecisionWhy> {
    return this.answers.why(actor, id);
  }

  @Get('decision-records/:id/why-not')
  @Needs('policy.read')
  @ApiOperation({ summary: 'Why a remedy was not given, and what would have to be different' })
  @ApiOkResponse({ type: DecisionWhyNot })
  @Problems('not-found')
  async whyNot(
    @CurrentActor() actor: Actor,
    @IdParam('id') id: string,
    @Query() query: WhyNotQuery,
  ): Promise<DecisionWhyNot> {
    return { items: await this.answers.whyNot(actor, id, query.remedy) };
  }

  @Get('decision-records/:id/replay')
  @Needs('claim.verify')
  @ApiOperation({ summary: 'Judge the kept facts again and compare byte for byte' })
  @ApiOkResponse({ type: ReplayView })
  @Problems('not-found')
  async replay(@CurrentActor() actor: Actor, @IdParam('id') id: string): Promise<ReplayView> {
    return this.answers.replay(actor, id);
  }

  @Get('rehearsals/:id/changes/:record')
  @Needs('policy.read')
  @ApiOperation({ summary: 'One claim that comes out otherwise, rule by rule under both versions' })
  @ApiOkResponse({ type: RehearsedClaimView })
  @Problems('not-found')
  async rehearsedClaim(
    @CurrentActor() actor: Actor,
    @IdParam('id') id: string,
    @IdParam('record') record: string,
  ): Promise<RehearsedClaimView> {
    const { change, was, becomes } = await this.rehearsed.read(actor, { rehearsal: id, record });
    return { change, ...(was === undefined ? {} : { was }), ...(becomes === undefined ? {} : { becomes }) };
  }
}
