import { Body, Controller, Put, Res } from '@nestjs/common';
import { ApiOkResponse, ApiOperation, ApiTags } from '@nestjs/swagger';
import type { FastifyReply } from 'fastify';
import type { Actor } from '../../access/access.contract.js';
import { CurrentActor, Needs } from '../../access/access.decorators.js';
import { Clock } from '../../platform/clock.js';
import { IdParam } from '../../platform/http/id.pipe.js';
import { plainBody } from '../../platform/http/plain-body.js';
import { Problems } from '../../platform/http/problem-docs.js';
import { ClaimArrivalsService } from '../claim-arrivals.service.js';
import { ArrivedClaimDto } from './claim-answers.dto.js';
import { ArrivingClaimDto } from './claim.dto.js';
import { answerWith } from './claim.mapper.js';
import { newClaim } from './new-claim.js';

/** Claims as phones send them. */
@ApiTags('phones')
@Controller('v1/claims')
export class ClaimArrivalsController {
  constructor(
    private readonly arrivals: ClaimArrivalsService,
    private readonly clock: Clock,
  ) {}

  @Put(':id')
  @Needs('claim.file')
  @ApiOperation({ summary: 'File a claim under an id of your own; sending it again is safe, and tells how it stands' })
  @ApiOkResponse({ type: ArrivedClaimDto })
  @Problems('not-found', 'serial-not-in-visit', 'duplicate-claim', 'claim-incomplete')
  async put(
    @CurrentActor() actor: Actor,
    @IdParam('id') id: string,
    @Body() body: ArrivingClaimDto,
    @Res({ passthrough: true }) reply: FastifyReply,
  ): Promise<ArrivedClaimDto> {
    const wish = newClaim(Object.assign(plainBody(body), { id, file: true }), this.clock.now());
    const { row, addedTo, photosOwed } = await this.arrivals.arrive(actor, wish);
    return Object.assign(answerWith(reply, row), { sentAs: id, addedTo, photosOwed });
  }
}
