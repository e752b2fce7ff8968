import { Controller, Get } from '@nestjs/common';
import { ApiExcludeController } from '@nestjs/swagger';
import type { Actor } from '../../access/access.contract.js';
import { CurrentActor, Needs } from '../../access/access.decorators.js';
import { ClaimsService } from '../../claims/claims.service.js';
import { PhonesService } from '../../inspections/phones.service.js';
import { IdParam } from '../../platform/http/id.pipe.js';
import type { CasePhones } from '../domain/case-phones.js';

/** What the desk shows of crews' phones. */
@ApiExcludeController()
@Controller('desk-data')
export class DeskPhonesController {
  constructor(
    private readonly claims: ClaimsService,
    private readonly phones: PhonesService,
  ) {}

  /** How many phones owe something, for the door. */
  @Get('phones-owing')
  @Needs('recovery.read')
  async owing(@CurrentActor() actor: Actor): Promise<{ readonly count: number }> {
    return { count: (await this.phones.owing(actor, false)).length };
  }

  @Get('cases/:id/phones')
  @Needs('recovery.read')
  async ofCase(@CurrentActor() actor: Actor, @IdParam('id') id: string): Promise<CasePhones> {
    return this.phones.ofClaim(actor, await this.claims.get(actor, id));
  }
}
