import { Body, Controller, Post, Res } from '@nestjs/common';
import { ApiCreatedResponse, ApiOperation, ApiTags } from '@nestjs/swagger';
import type { FastifyReply } from 'fastify';
import type { Actor } from '../../access/access.contract.js';
import { CurrentActor, Needs } from '../../access/access.decorators.js';
import { Clock } from '../../platform/clock.js';
import { IdParam } from '../../platform/http/id.pipe.js';
import { Creates } from '../../platform/http/idempotency.js';
import { Problems } from '../../platform/http/problem-docs.js';
import { IfMatch, NeedsVersion, type VersionMatch } from '../../platform/http/versions.js';
import { ClaimDecisionsService } from '../claim-decisions.service.js';
import { ClaimReviewService } from '../claim-review.service.js';
import { ACT_PROBLEMS } from './act-problems.js';
import { ClaimDto } from './claim-answers.dto.js';
import { DecisionDto, InformationDto, NoteDto, QuestionDto, ReasonDto } from './claim.dto.js';
import { answerWith } from './claim.mapper.js';
import { DecisionNumber } from './decision-number.js';
import { suppliedFacts } from './supplied-facts.js';

/** Acts on a filed claim. Each is a noun under the claim and needs the version that the person has seen. */
@ApiTags('claims')
@Controller('v1/claims/:id')
export class ClaimReviewController {
  constructor(
    private readonly review: ClaimReviewService,
    private readonly decisions: ClaimDecisionsService,
    private readonly clock: Clock,
  ) {}

  @Post('questions')
  @Needs('claim.assess')
  @NeedsVersion()
  @Creates()
  @ApiOperation({ summary: 'Ask for information' })
  @ApiCreatedResponse({ type: ClaimDto })
  @Problems(...ACT_PROBLEMS)
  async ask(
    @CurrentActor() actor: Actor,
    @IdParam('id') id: string,
    @IfMatch() match: VersionMatch,
    @Body() body: QuestionDto,
    @Res({ passthrough: true }) reply: FastifyReply,
  ): Promise<ClaimDto> {
    return answerWith(reply, await this.review.ask(actor, id, body, match));
  }

  @Post('notes')
  @Needs('claim.assess')
  @NeedsVersion()
  @Creates()
  @ApiOperation({ summary: 'Write a note into the trail, for the desk alone' })
  @ApiCreatedResponse({ type: ClaimDto })
  @Problems(...ACT_PROBLEMS)
  async remark(
    @CurrentActor() actor: Actor,
    @IdParam('id') id: string,
    @IfMatch() match: VersionMatch,
    @Body() body: NoteDto,
    @Res({ passthrough: true }) reply: FastifyReply,
  ): Promise<ClaimDto> {
    return answerWith(reply, await this.review.remark(actor, id, body.words, match));
  }

  @Post('information')
  @Needs('claim.inform')
  @NeedsVersion()
  @Creates()
  @ApiOperation({ summary: 'Answer what was asked, with facts where they are known now' })
  @ApiCreatedResponse({ type: ClaimDto })
  @Problems(...ACT_PROBLEMS)
  async inform(
    @CurrentActor() actor: Actor,
    @IdParam('id') id: string,
    @IfMatch() match: VersionMatch,
    @Body() body: InformationDto,
    @Res({ passthrough: true }) reply: FastifyReply,
  ): Promise<ClaimDto> {
    return answerWith(
      reply,
      await this.review.giveInformation(actor, id, suppliedFacts(body, this.clock.now()), match),
    );
  }

  @Post('assessments')
  @Needs('claim.assess')
  @NeedsVersion()
  @Creates()
  @ApiOperation({ summary: 'Have a proposed claim assessed again after new evidence' })
  @ApiCreatedResponse({ type: ClaimDto })
  @Problems(...ACT_PROBLEMS)
  async lookAgain(
    @CurrentActor() actor: Actor,
    @IdParam('id') id: string,
    @IfMatch() match: VersionMatch,
    @Body() body: InformationDto,
    @Res({ passthrough: true }) reply: FastifyReply,
  ): Promise<ClaimDto> {
    return answerWith(reply, await this.review.lookAgain(actor, id, suppliedFacts(body, this.clock.now()), match));
  }

  @Post('decisions')
  @Needs('claim.decide')
  @NeedsVersion()
  @Creates()
  @ApiOperation({
    summary: 'Decide: approve, approve in part or decline, following the proposal or overriding it with a reason',
  })
  @ApiCreatedResponse({ type: ClaimDto })
  @Problems(
    ...ACT_PROBLEMS,
    'own-claim',
    'nothing-to-decide',
    'reason-required',
    'amount-currency-differs',
    'amount-exceeds',
  )
  async decide(
    @CurrentActor() actor: Actor,
    @IdParam('id') id: string,
    @IfMatch() match: VersionMatch,
    @Body() body: DecisionDto,
    @Res({ passthrough: true }) reply: FastifyReply,
  ): Promise<ClaimDto> {
    return answerWith(reply, await this.decisions.decide(actor, id, body, match));
  }

  @Post('decisions/:n/confirmation')
  @Needs('claim.confirm')
  @NeedsVersion()
  @Creates()
  @ApiOperation({ summary: 'Confirm a decision as the second person' })
  @ApiCreatedResponse({ type: ClaimDto })
  @Problems(...ACT_PROBLEMS, 'own-claim', 'same-person')
  async confirm(
    @CurrentActor() actor: Actor,
    @IdParam('id') id: string,
    @DecisionNumber() n: number,
    @IfMatch() match: VersionMatch,
    @Res({ passthrough: true }) reply: FastifyReply,
  ): Promise<ClaimDto> {
    return answerWith(reply, await this.decisions.confirm(actor, id, n, match));
  }

  @Post('decisions/:n/refusal')
  @Needs('claim.confirm')
  @NeedsVersion()
  @Creates()
  @ApiOperation({ summary: 'Send a decision back as the second person' })
  @ApiCreatedResponse({ type: ClaimDto })
  @Problems(...ACT_PROBLEMS, 'own-claim', 'same-person')
  async sendBack(
    @CurrentActor() actor: Actor,
    @IdParam('id') id: string,
    @DecisionNumber() n: number,
    @IfMatch() match: VersionMatch,
    @Body() body: ReasonDto,
    @Res({ passthrough: true }) reply: FastifyReply,
  ): Promise<ClaimDto> {
    return answerWith(reply, await this.decisions.sendBack(actor, id, n, body.reason, match));
  }
}
