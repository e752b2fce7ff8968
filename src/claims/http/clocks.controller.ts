import { Body, Controller, Get, Post, Query, Req, Res } from '@nestjs/common';
import { ApiCreatedResponse, ApiOkResponse, ApiOperation, ApiTags } from '@nestjs/swagger';
import type { FastifyReply, FastifyRequest } from 'fastify';
import type { Actor } from '../../access/access.contract.js';
import { CurrentActor, Needs } from '../../access/access.decorators.js';
import type { Fault } from '../../kernel/outcome.js';
import { Clock } from '../../platform/clock.js';
import { IdParam } from '../../platform/http/id.pipe.js';
import { Creates } from '../../platform/http/idempotency.js';
import { sendPage } from '../../platform/http/pages.js';
import { Problems } from '../../platform/http/problem-docs.js';
import { Invalid } from '../../platform/http/problems.js';
import { IfMatch, NeedsVersion, type VersionMatch } from '../../platform/http/versions.js';
import { ClaimClocksService } from '../claim-clocks.service.js';
import { ClaimHappeningsService } from '../claim-happenings.service.js';
import { isoInstant } from '../domain/iso-instant.js';
import { ACT_PROBLEMS } from './act-problems.js';
import { ClaimDto } from './claim-answers.dto.js';
import { answerWith } from './claim.mapper.js';
import { ClaimClocksView, DuePageView, DueQuery, HappeningBody } from './clocks.dto.js';
import { clockView, dueLineView } from './clocks.mapper.js';
import { pastInstant } from './past-instant.js';

const DAYS_AHEAD = 7;

/** Deadlines: what is due, what was missed, and what happened that starts or stops one. */
@ApiTags('clocks')
@Controller('v1')
export class ClocksController {
  constructor(
    private readonly clocks: ClaimClocksService,
    private readonly happenings: ClaimHappeningsService,
    private readonly clock: Clock,
  ) {}

  @Get('due')
  @Needs('due.read')
  @ApiOperation({ summary: 'What is due and what was missed, soonest first; retailers see what they owe themselves' })
  @ApiOkResponse({ type: DuePageView })
  @Problems('cursor-invalid')
  async due(
    @CurrentActor() actor: Actor,
    @Query() query: DueQuery,
    @Req() request: FastifyRequest,
    @Res({ passthrough: true }) reply: FastifyReply,
  ): Promise<DuePageView> {
    const wish = { days: query.within ?? DAYS_AHEAD, ...(query.owedBy === undefined ? {} : { owedBy: query.owedBy }) };
    const page = await this.clocks.due(actor, wish, query);
    const now = this.clock.now();
    const items = page.items.map((line) => dueLineView(line, now));
    return { ...sendPage(request, reply, { ...page, items }), items };
  }

  @Get('claims/:id/clocks')
  @Needs('due.read')
  @ApiOperation({ summary: "A claim's clocks as they stand" })
  @ApiOkResponse({ type: ClaimClocksView })
  @Problems('not-found')
  async ofClaim(@CurrentActor() actor: Actor, @IdParam('id') id: string): Promise<ClaimClocksView> {
    return { items: (await this.clocks.ofClaim(actor, id)).map(clockView) };
  }

  @Post('claims/:id/happenings')
  @Needs('claim.assess')
  @NeedsVersion()
  @Creates()
  @ApiOperation({
    summary: 'Note what happened outside the claim: the carrier answered, the goods came back, a hazard was reported',
  })
  @ApiCreatedResponse({ type: ClaimDto })
  @Problems(...ACT_PROBLEMS)
  async note(
    @CurrentActor() actor: Actor,
    @IdParam('id') id: string,
    @IfMatch() match: VersionMatch,
    @Body() body: HappeningBody,
    @Res({ passthrough: true }) reply: FastifyReply,
  ): Promise<ClaimDto> {
    const faults: Fault[] = [];
    const at = pastInstant(body.at, '#/at', this.clock.now(), faults) ?? isoInstant(this.clock.now());
    if (faults.length > 0) throw new Invalid(faults);
    const noted = { what: body.what, at, words: body.words ?? null };
    return answerWith(reply, await this.happenings.note(actor, id, noted, match));
  }
}
