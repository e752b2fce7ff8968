import { Body, Controller, Delete, Get, HttpCode, Put } from '@nestjs/common';
import { ApiNoContentResponse, ApiOkResponse, ApiOperation, ApiTags } from '@nestjs/swagger';
import type { Actor } from '../../access/access.contract.js';
import { CurrentActor, Needs } from '../../access/access.decorators.js';
import { IdParam } from '../../platform/http/id.pipe.js';
import { Problems } from '../../platform/http/problem-docs.js';
import { ClaimTakersService } from '../claim-takers.service.js';
import type { Taker } from '../store/claim-taker.store.js';
import { TakerDto, TakingBody } from './claim-takers.dto.js';

/** Who of the desk has a claim. Needs no version: nothing that somebody saw of the claim is overwritten. */
@ApiTags('claims')
@Controller('v1/claims/:id/taker')
export class ClaimTakersController {
  constructor(private readonly takers: ClaimTakersService) {}

  @Get()
  @Needs('recovery.read')
  @ApiOperation({ summary: 'Who of the desk has taken the claim' })
  @ApiOkResponse({ type: TakerDto })
  @Problems('not-found')
  async read(@CurrentActor() actor: Actor, @IdParam('id') id: string): Promise<TakerDto> {
    return takerDto(await this.takers.of(actor, id));
  }

  @Put()
  @Needs('claim.assess')
  @ApiOperation({ summary: 'Take the claim, so that colleagues see who is at it; it is no lock' })
  @ApiOkResponse({ type: TakerDto })
  @Problems('not-found', 'claim-taken', 'claim-withdrawn', 'claim-state-forbids')
  async take(@CurrentActor() actor: Actor, @IdParam('id') id: string, @Body() { from }: TakingBody): Promise<TakerDto> {
    return takerDto(await this.takers.take(actor, id, from));
  }

  @Delete()
  @HttpCode(204)
  @Needs('claim.assess')
  @ApiOperation({ summary: 'Put the claim back' })
  @ApiNoContentResponse()
  @Problems('not-found', 'claim-taken')
  async putBack(@CurrentActor() actor: Actor, @IdParam('id') id: string): Promise<void> {
    await this.takers.putBack(actor, id);
  }
}

function takerDto(taker: Taker | null): TakerDto {
  if (taker === null) return { takenBy: null, takenAt: null };
  return { takenBy: { id: taker.id, name: taker.name }, takenAt: taker.takenAt };
}
