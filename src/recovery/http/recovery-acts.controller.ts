import { applyDecorators, Body, Controller, Post, Res } from '@nestjs/common';
import { ApiCreatedResponse, ApiOperation, ApiTags } from '@nestjs/swagger';
import type { FastifyReply } from 'fastify';
import type { Actor } from '../../access/access.contract.js';
import { CurrentActor, Needs } from '../../access/access.decorators.js';
import { IdParam } from '../../platform/http/id.pipe.js';
import { Creates } from '../../platform/http/idempotency.js';
import { CREATION_PROBLEMS, Problems } from '../../platform/http/problem-docs.js';
import type { ProblemCode } from '../../platform/http/problems.js';
import { IfMatch, NeedsVersion, type VersionMatch } from '../../platform/http/versions.js';
import { RecoveriesService } from '../recoveries.service.js';
import { RecoveryDto } from './recovery-answers.dto.js';
import {
  AcknowledgmentDto,
  DeclineDto,
  OfferDto,
  ParticularsDto,
  ReceiptOfMoneyDto,
  SendingDto,
  WriteOffDto,
} from './recovery.dto.js';
import { answerWith, particularsOf } from './recovery.mapper.js';

/** An act on a recovery: for analysts, at the version they saw, safe to repeat. */
function RecoveryAct(noun: string, summary: string, ...problems: readonly ProblemCode[]): MethodDecorator {
  return applyDecorators(
    Post(noun),
    Needs('recovery.manage'),
    NeedsVersion(),
    Creates(),
    ApiOperation({ summary }),
    ApiCreatedResponse({ type: RecoveryDto }),
    Problems('not-found', 'precondition-required', 'version-changed', ...CREATION_PROBLEMS, ...problems),
  );
}

/** Acts on a recovery. Each is a noun under it. */
@ApiTags('recoveries')
@Controller('v1/recoveries/:id')
export class RecoveryActsController {
  constructor(private readonly recoveries: RecoveriesService) {}

  @RecoveryAct(
    'particulars',
    'Add facts about the carriage, papers and how the demand stands',
    'recovery-state-forbids',
  )
  async add(
    @CurrentActor() actor: Actor,
    @IdParam('id') id: string,
    @IfMatch() match: VersionMatch,
    @Body() body: ParticularsDto,
    @Res({ passthrough: true }) reply: FastifyReply,
  ): Promise<RecoveryDto> {
    return answerWith(reply, await this.recoveries.addParticulars(actor, id, particularsOf(body), match));
  }

  @RecoveryAct(
    'sending',
    'Send the demand, once it is a complete claim',
    'recovery-state-forbids',
    'recovery-incomplete',
  )
  async send(
    @CurrentActor() actor: Actor,
    @IdParam('id') id: string,
    @IfMatch() match: VersionMatch,
    @Body() body: SendingDto,
    @Res({ passthrough: true }) reply: FastifyReply,
  ): Promise<RecoveryDto> {
    return answerWith(reply, await this.recoveries.send(actor, id, body, match));
  }

  @RecoveryAct('acknowledgment', 'The party acknowledged the demand', 'recovery-state-forbids')
  async acknowledge(
    @CurrentActor() actor: Actor,
    @IdParam('id') id: string,
    @IfMatch() match: VersionMatch,
    @Body() body: AcknowledgmentDto,
    @Res({ passthrough: true }) reply: FastifyReply,
  ): Promise<RecoveryDto> {
    return answerWith(reply, await this.recoveries.acknowledge(actor, id, body, match));
  }

  @RecoveryAct(
    'offers',
    'The party offered an amount',
    'recovery-state-forbids',
    'amount-exceeds',
    'amount-currency-differs',
  )
  async offer(
    @CurrentActor() actor: Actor,
    @IdParam('id') id: string,
    @IfMatch() match: VersionMatch,
    @Body() body: OfferDto,
    @Res({ passthrough: true }) reply: FastifyReply,
  ): Promise<RecoveryDto> {
    return answerWith(reply, await this.recoveries.offer(actor, id, body, match));
  }

  @RecoveryAct('payments', 'Money came in', 'recovery-state-forbids', 'amount-exceeds', 'amount-currency-differs')
  async pay(
    @CurrentActor() actor: Actor,
    @IdParam('id') id: string,
    @IfMatch() match: VersionMatch,
    @Body() body: ReceiptOfMoneyDto,
    @Res({ passthrough: true }) reply: FastifyReply,
  ): Promise<RecoveryDto> {
    return answerWith(reply, await this.recoveries.pay(actor, id, body, match));
  }

  @RecoveryAct(
    'salvage',
    'The damaged goods fetched something, which is credited',
    'recovery-state-forbids',
    'amount-exceeds',
    'amount-currency-differs',
  )
  async salvage(
    @CurrentActor() actor: Actor,
    @IdParam('id') id: string,
    @IfMatch() match: VersionMatch,
    @Body() body: ReceiptOfMoneyDto,
    @Res({ passthrough: true }) reply: FastifyReply,
  ): Promise<RecoveryDto> {
    return answerWith(reply, await this.recoveries.creditSalvage(actor, id, body, match));
  }

  @RecoveryAct('decline', 'The party declined in writing', 'recovery-state-forbids')
  async decline(
    @CurrentActor() actor: Actor,
    @IdParam('id') id: string,
    @IfMatch() match: VersionMatch,
    @Body() body: DeclineDto,
    @Res({ passthrough: true }) reply: FastifyReply,
  ): Promise<RecoveryDto> {
    return answerWith(reply, await this.recoveries.decline(actor, id, body, match));
  }

  @RecoveryAct(
    'write-off',
    'Give up what is still owed, or a part of it',
    'recovery-state-forbids',
    'amount-exceeds',
    'amount-currency-differs',
  )
  async writeOff(
    @CurrentActor() actor: Actor,
    @IdParam('id') id: string,
    @IfMatch() match: VersionMatch,
    @Body() body: WriteOffDto,
    @Res({ passthrough: true }) reply: FastifyReply,
  ): Promise<RecoveryDto> {
    return answerWith(reply, await this.recoveries.writeOff(actor, id, body, match));
  }
}
