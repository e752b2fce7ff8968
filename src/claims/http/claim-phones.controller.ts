import { Body, Controller, Post, Res } from '@nestjs/common';
import { ApiCreatedResponse, ApiOperation, ApiTags } from '@nestjs/swagger';
import type { FastifyReply } from 'fastify';
import type { Actor } from '../../access/access.contract.js';
import { CurrentActor, Needs } from '../../access/access.decorators.js';
import { IdParam } from '../../platform/http/id.pipe.js';
import { Creates } from '../../platform/http/idempotency.js';
import { plainBody } from '../../platform/http/plain-body.js';
import { CREATION_PROBLEMS, Problems } from '../../platform/http/problem-docs.js';
import { IfMatch, NeedsVersion, type VersionMatch } from '../../platform/http/versions.js';
import { ClaimAnswersService } from '../claim-answers.service.js';
import { ClaimPhoneLossService } from '../claim-phone-loss.service.js';
import { ACT_PROBLEMS } from './act-problems.js';
import { ClaimDto } from './claim-answers.dto.js';
import { answerWith } from './claim.mapper.js';
import { LostPhoneView, PhoneLossBody, SettledAnswerBody } from './claim-phones.dto.js';

/** What an analyst does where phones are lost or do not agree. */
@ApiTags('phones')
@Controller('v1')
export class ClaimPhonesController {
  constructor(
    private readonly losses: ClaimPhoneLossService,
    private readonly answers: ClaimAnswersService,
  ) {}

  @Post('visits/:visitId/phones/:phoneId/loss')
  @Needs('claim.assess')
  @Creates()
  @ApiOperation({ summary: 'Say that a phone is lost: the claims of its visit wait for nothing of it any more' })
  @ApiCreatedResponse({ type: LostPhoneView })
  @Problems('not-found', 'version-changed', ...CREATION_PROBLEMS)
  async lose(
    @CurrentActor() actor: Actor,
    @IdParam('visitId') visitId: string,
    @IdParam('phoneId') phoneId: string,
    @Body() { reason: because, heardAt }: PhoneLossBody,
  ): Promise<LostPhoneView> {
    const loss = { because, heardAt };
    const { phone, visit, photosOwed, factsOwed, lost } = await this.losses.lose(actor, visitId, phoneId, loss);
    return { phone, visit, photos: photosOwed, facts: factsOwed, lostAt: lost.at };
  }

  @Post('claims/:id/settled-answers')
  @Needs('claim.assess')
  @NeedsVersion()
  @Creates()
  @ApiOperation({ summary: 'Say which answer counts where two phones do not agree; both stay readable' })
  @ApiCreatedResponse({ type: ClaimDto })
  @Problems(...ACT_PROBLEMS, 'answer-invalid')
  async settle(
    @CurrentActor() actor: Actor,
    @IdParam('id') id: string,
    @IfMatch() match: VersionMatch,
    @Body() body: SettledAnswerBody,
    @Res({ passthrough: true }) reply: FastifyReply,
  ): Promise<ClaimDto> {
    const { item, value, words } = plainBody<SettledAnswerBody>(body);
    return answerWith(reply, await this.answers.settle(actor, id, { item, value, words }, match));
  }
}
