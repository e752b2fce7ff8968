import { Body, Controller, Get, Param, Post, Res } from '@nestjs/common';
import { ApiCreatedResponse, ApiOkResponse, ApiOperation, ApiTags } from '@nestjs/swagger';
import type { FastifyReply } from 'fastify';
import type { Actor } from '../../access/access.contract.js';
import { CurrentActor, Needs } from '../../access/access.decorators.js';
import { IdParam } from '../../platform/http/id.pipe.js';
import { Creates } from '../../platform/http/idempotency.js';
import { plainBody } from '../../platform/http/plain-body.js';
import { CREATION_PROBLEMS, Problems } from '../../platform/http/problem-docs.js';
import { IfMatch, NeedsVersion, setVersion, type VersionMatch } from '../../platform/http/versions.js';
import { InspectionWalkService, nextStep, type WalkState } from '../inspection-walk.service.js';
import {
  AnswersBody,
  CompletionBody,
  InspectionBody,
  InspectionList,
  InspectionView,
  NextStepView,
  StopView,
} from './inspection.dto.js';
import { toInspectionSummary, toInspectionView, toNextStep, toStart, toStop } from './inspection.mapper.js';

/** The walk through a checklist for one unit. */
@ApiTags('inspections')
@Controller('v1')
export class InspectionsController {
  constructor(private readonly walk: InspectionWalkService) {}

  @Post('visits/:visitId/inspections')
  @Needs('inspection.fill')
  @Creates()
  @ApiOperation({ summary: 'Begin the inspection of a unit, or get the one begun under this id' })
  @ApiCreatedResponse({ type: InspectionView })
  @Problems('not-found', 'serial-not-in-visit', 'checklist-not-published', 'inspection-id-taken', ...CREATION_PROBLEMS)
  async start(
    @CurrentActor() actor: Actor,
    @IdParam('visitId') visitId: string,
    @Body() body: InspectionBody,
    @Res({ passthrough: true }) reply: FastifyReply,
  ): Promise<InspectionView> {
    const state = await this.walk.start(actor, visitId, toStart(body));
    void reply.header('location', `/v1/inspections/${state.row.id}`);
    return shown(reply, state);
  }

  @Get('visits/:visitId/inspections')
  @Needs('inspection.read')
  @ApiOperation({ summary: 'List the inspections of a visit' })
  @ApiOkResponse({ type: InspectionList })
  @Problems('not-found')
  async ofVisit(@CurrentActor() actor: Actor, @IdParam('visitId') visitId: string): Promise<InspectionList> {
    return { items: (await this.walk.ofVisit(actor, visitId)).map(toInspectionSummary) };
  }

  @Get('inspections/:id')
  @Needs('inspection.read')
  @ApiOperation({ summary: 'Read an inspection: items asked, answers, photos owed, stops' })
  @ApiOkResponse({ type: InspectionView })
  @Problems('not-found')
  async read(
    @CurrentActor() actor: Actor,
    @IdParam('id') id: string,
    @Res({ passthrough: true }) reply: FastifyReply,
  ): Promise<InspectionView> {
    return shown(reply, await this.walk.read(actor, id));
  }

  @Get('inspections/:id/next')
  @Needs('inspection.read')
  @ApiOperation({ summary: 'What comes next: a stop to see to, an item to answer, photos to take, or nothing' })
  @ApiOkResponse({ type: NextStepView })
  @Problems('not-found')
  async next(@CurrentActor() actor: Actor, @IdParam('id') id: string): Promise<NextStepView> {
    const state = await this.walk.read(actor, id);
    return toNextStep(state, nextStep(state));
  }

  @Post('inspections/:id/answers')
  @Needs('inspection.fill')
  @Creates()
  @ApiOperation({ summary: 'Add answers: all of them or none' })
  @ApiCreatedResponse({ type: InspectionView })
  @Problems(
    'not-found',
    'item-not-asked',
    'answer-invalid',
    'inspection-finished',
    'safety-stop-stands',
    ...CREATION_PROBLEMS,
  )
  async answer(
    @CurrentActor() actor: Actor,
    @IdParam('id') id: string,
    @Body() body: AnswersBody,
    @Res({ passthrough: true }) reply: FastifyReply,
  ): Promise<InspectionView> {
    const batch = plainBody(body).answers;
    return shown(reply, await this.walk.answer(actor, id, batch));
  }

  @Post('inspections/:id/stops/:stop/acknowledgment')
  @Needs('inspection.fill')
  @Creates()
  @ApiOperation({ summary: 'Acknowledge a safety stop: read, and done what it says' })
  @ApiCreatedResponse({ type: StopView })
  @Problems('not-found', ...CREATION_PROBLEMS)
  async acknowledge(
    @CurrentActor() actor: Actor,
    @IdParam('id') id: string,
    @Param('stop') stop: string,
  ): Promise<StopView> {
    const { checklist, raised } = await this.walk.acknowledge(actor, id, stop);
    return toStop(checklist, raised);
  }

  @Post('inspections/:id/completion')
  @Needs('inspection.fill')
  @NeedsVersion()
  @Creates()
  @ApiOperation({ summary: 'Finish an inspection; gaps only with a reason' })
  @ApiCreatedResponse({ type: InspectionView })
  @Problems(
    'not-found',
    'inspection-incomplete',
    'inspection-finished',
    'safety-stop-stands',
    'reason-required',
    'precondition-required',
    'version-changed',
    ...CREATION_PROBLEMS,
  )
  async complete(
    @CurrentActor() actor: Actor,
    @IdParam('id') id: string,
    @IfMatch() match: VersionMatch,
    @Body() body: CompletionBody,
    @Res({ passthrough: true }) reply: FastifyReply,
  ): Promise<InspectionView> {
    const { acceptGaps, reason } = plainBody(body);
    const wish = { acceptGaps: acceptGaps === true, ...(reason === undefined ? {} : { reason }) };
    return shown(reply, await this.walk.complete(actor, id, match, wish));
  }
}

function shown(reply: FastifyReply, state: WalkState): InspectionView {
  setVersion(reply, state.row.version);
  return toInspectionView(state);
}
