import { Controller, Get } from '@nestjs/common';
import { ApiOkResponse, ApiOperation, ApiTags } from '@nestjs/swagger';
import type { Actor } from '../../access/access.contract.js';
import { CurrentActor, Needs } from '../../access/access.decorators.js';
import { IdParam } from '../../platform/http/id.pipe.js';
import { Problems } from '../../platform/http/problem-docs.js';
import { RecoveriesService } from '../recoveries.service.js';
import { ClaimRecoveriesDto } from './recovery-answers.dto.js';
import { recoveryDto } from './recovery.mapper.js';

@ApiTags('recoveries')
@Controller('v1/claims/:id/recoveries')
export class ClaimRecoveriesController {
  constructor(private readonly recoveries: RecoveriesService) {}

  @Get()
  @Needs('recovery.read')
  @ApiOperation({ summary: "A claim's recoveries and what its ledger holds" })
  @ApiOkResponse({ type: ClaimRecoveriesDto })
  @Problems('not-found')
  async list(@CurrentActor() actor: Actor, @IdParam('id') id: string): Promise<ClaimRecoveriesDto> {
    const { rows, balances } = await this.recoveries.ofClaim(actor, id);
    return { items: rows.map(recoveryDto), balances };
  }
}
