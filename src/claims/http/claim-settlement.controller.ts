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
import { ClaimReviewService } from '../claim-review.service.js';
import { ClaimSettlementService } from '../claim-settlement.service.js';
import { ACT_PROBLEMS } from './act-problems.js';
import { ClaimDto } from './claim-answers.dto.js';
import { InformationDto, SettlementDto, WordsDto } from './claim.dto.js';
import { answerWith } from './claim.mapper.js';
import { suppliedFacts } from './supplied-facts.js';

/** What follows a decision: carrying it out, closing the file, or opening it again. */
@ApiTags('claims')
@Controller('v1/claims/:id')
export class ClaimSettlementController {
  constructor(
    private readonly settlement: ClaimSettlementService,
    private readonly review: ClaimReviewService,
    private readonly clock: Clock,
  ) {}

  @Post('settlement-order')
  @Needs('claim.settle')
  @NeedsVersion()
  @Creates()
  @ApiOperation({ summary: 'The remedy is being carried out' })
  @ApiCreatedResponse({ type: ClaimDto })
  @Problems(...ACT_PROBLEMS)
  async order(
    @CurrentActor() actor: Actor,
    @IdParam('id') id: string,
    @IfMatch() match: VersionMatch,
    @Body() body: WordsDto,
    @Res({ passthrough: true }) reply: FastifyReply,
  ): Promise<ClaimDto> {
    return answerWith(reply, await this.settlement.orderSettlement(actor, id, body.words ?? null, match));
  }

  @Post('settlement')
  @Needs('claim.settle')
  @NeedsVersion()
  @Creates()
  @ApiOperation({ summary: 'The remedy was given, for exactly what was decided' })
  @ApiCreatedResponse({ type: ClaimDto })
  @Problems(...ACT_PROBLEMS, 'amount-currency-differs', 'amount-exceeds')
  async settle(
    @CurrentActor() actor: Actor,
    @IdParam('id') id: string,
    @IfMatch() match: VersionMatch,
    @Body() body: SettlementDto,
    @Res({ passthrough: true }) reply: FastifyReply,
  ): Promise<ClaimDto> {
    return answerWith(reply, await this.settlement.settle(actor, id, body, match));
  }

  @Post('closure')
  @Needs('claim.close')
  @NeedsVersion()
  @Creates()
  @ApiOperation({ summary: 'Close a settled or declined claim' })
  @ApiCreatedResponse({ type: ClaimDto })
  @Problems(...ACT_PROBLEMS)
  async close(
    @CurrentActor() actor: Actor,
    @IdParam('id') id: string,
    @IfMatch() match: VersionMatch,
    @Body() body: WordsDto,
    @Res({ passthrough: true }) reply: FastifyReply,
  ): Promise<ClaimDto> {
    return answerWith(reply, await this.settlement.close(actor, id, body.words ?? null, match));
  }

  @Post('appeals')
  @Needs('claim.appeal')
  @NeedsVersion()
  @Creates()
  @ApiOperation({ summary: 'Ask for another look at a decided, settled or closed claim' })
  @ApiCreatedResponse({ type: ClaimDto })
  @Problems(...ACT_PROBLEMS, 'duplicate-claim')
  async appeal(
    @CurrentActor() actor: Actor,
    @IdParam('id') id: string,
    @IfMatch() match: VersionMatch,
    @Body() body: InformationDto,
    @Res({ passthrough: true }) reply: FastifyReply,
  ): Promise<ClaimDto> {
    return answerWith(reply, await this.review.reopen(actor, id, suppliedFacts(body, this.clock.now()), match));
  }
}
