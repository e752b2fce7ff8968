import { Controller, Get } from '@nestjs/common';
import { ApiExcludeController } from '@nestjs/swagger';
import type { Actor } from '../../access/access.contract.js';
import { CurrentActor, Needs } from '../../access/access.decorators.js';
import { ClaimsService } from '../../claims/claims.service.js';
import { PhonesService } from '../../inspections/phones.service.js';
import { Clock } from '../../platform/clock.js';
import { IdParam } from '../../platform/http/id.pipe.js';
import type { CasePhones } from '../domain/case-phones.js';

/** Every open desk asks for the number once a minute; it is counted no more often than this for all of them. */
const COUNT_COUNTS_MS = 30_000;

interface Counted {
  readonly at: number;
  readonly count: Promise<number>;
}

/** What the desk shows of crews' phones. */
@ApiExcludeController()
@Controller('desk-data')
export class DeskPhonesController {
  private readonly counted = new Map<string, Counted>();

  constructor(
    private readonly claims: ClaimsService,
    private readonly phones: PhonesService,
    private readonly clock: Clock,
  ) {}

  /** How many phones owe something, for the door. */
  @Get('phones-owing')
  @Needs('recovery.read')
  async owing(@CurrentActor() actor: Actor): Promise<{ readonly count: number }> {
    const now = this.clock.now().epochMilliseconds;
    const known = this.counted.get(actor.tenant);
    if (known !== undefined && now - known.at < COUNT_COUNTS_MS && now >= known.at) return { count: await known.count };
    const count = this.phones.owing(actor, false).then(({ length }) => length);
    this.counted.set(actor.tenant, { at: now, count });
    // What failed is not kept.
    count.catch(() => this.counted.delete(actor.tenant));
    return { count: await count };
  }

  @Get('cases/:id/phones')
  @Needs('recovery.read')
  async ofCase(@CurrentActor() actor: Actor, @IdParam('id') id: string): Promise<CasePhones> {
    return this.phones.ofClaim(actor, await this.claims.get(actor, id));
  }
}
