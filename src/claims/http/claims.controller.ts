import { Body, Controller, Get, Param, Post, Query, Req, Res } from '@nestjs/common';
import { ApiCreatedResponse, ApiOkResponse, ApiOperation, ApiTags } from '@nestjs/swagger';
import type { FastifyReply, FastifyRequest } from 'fastify';
import type { Actor } from '../../access/access.contract.js';
import { CurrentActor, Needs } from '../../access/access.decorators.js';
import { parseClaimNumber } from '../../kernel/claim-number.js';
import { Clock } from '../../platform/clock.js';
import { IdParam } from '../../platform/http/id.pipe.js';
import { Creates } from '../../platform/http/idempotency.js';
import { pageOf, pageSize, readCursor, sendPage } from '../../platform/http/pages.js';
import { CREATION_PROBLEMS, Problems } from '../../platform/http/problem-docs.js';
import { Refused } from '../../platform/http/problems.js';
import { IfMatch, NeedsVersion, setVersion, type VersionMatch } from '../../platform/http/versions.js';
import { ClaimReviewService } from '../claim-review.service.js';
import { ClaimsService } from '../claims.service.js';
import { NEVER } from '../store/claim-queue.read-model.js';
import { ClaimDto, ClaimPageDto, DossierDto, StandingDto } from './claim-answers.dto.js';
import { EventTrailDto, TimelineDto } from './claim-history.dto.js';
import { ClaimListQuery, NewClaimDto, ReasonDto } from './claim.dto.js';
import { ACT_PROBLEMS } from './act-problems.js';
import { answerWith, dossierDto, lineDto, timelineDto, trailDto } from './claim.mapper.js';
import { newClaim } from './new-claim.js';

@ApiTags('claims')
@Controller('v1/claims')
export class ClaimsController {
  constructor(
    private readonly claims: ClaimsService,
    private readonly review: ClaimReviewService,
    private readonly clock: Clock,
  ) {}

  @Post()
  @Needs('claim.file')
  @Creates()
  @ApiOperation({ summary: 'Open a claim, and file it in the same step where `file` is true' })
  @ApiCreatedResponse({ type: ClaimDto })
  @Problems('not-found', 'serial-not-in-visit', 'duplicate-claim', 'claim-incomplete', ...CREATION_PROBLEMS)
  async open(
    @CurrentActor() actor: Actor,
    @Body() body: NewClaimDto,
    @Res({ passthrough: true }) reply: FastifyReply,
  ): Promise<ClaimDto> {
    const row = await this.claims.open(actor, newClaim(body, this.clock.now()));
    void reply.header('location', `/v1/claims/${row.id}`);
    return answerWith(reply, row);
  }

  @Get()
  @Needs('claim.read')
  @ApiOperation({ summary: 'The claims that you may see, a page at a time' })
  @ApiOkResponse({ type: ClaimPageDto })
  @Problems('cursor-invalid')
  async list(
    @CurrentActor() actor: Actor,
    @Query() query: ClaimListQuery,
    @Req() request: FastifyRequest,
    @Res({ passthrough: true }) reply: FastifyReply,
  ): Promise<ClaimPageDto> {
    const order = query.order ?? 'newest';
    const size = pageSize(query);
    const filter = {
      order,
      ...(query.state ? { states: [query.state] } : {}),
      ...(query.ground ? { ground: query.ground } : {}),
      ...(query.find?.trim() ? { find: query.find.trim() } : {}),
    };
    const rows = await this.claims.page(actor, filter, readCursor(query, 'iu'), size);
    const page = pageOf(
      rows,
      size,
      (row) => [order === 'due' ? (row.dueAt ?? NEVER) : row.updatedAt, row.id],
      (row) => lineDto(row, actor),
    );
    return { ...sendPage(request, reply, page), items: [...page.items] };
  }

  @Get(':id')
  @Needs('claim.read')
  @ApiOperation({ summary: 'One claim' })
  @ApiOkResponse({ type: ClaimDto })
  @Problems('not-found')
  async get(
    @CurrentActor() actor: Actor,
    @IdParam('id') id: string,
    @Res({ passthrough: true }) reply: FastifyReply,
  ): Promise<ClaimDto> {
    return answerWith(reply, await this.claims.get(actor, id));
  }

  @Get('by-number/:number')
  @Needs('claim.read')
  @ApiOperation({ summary: 'One claim by its number, as people write it' })
  @ApiOkResponse({ type: ClaimDto })
  @Problems('not-found')
  async byNumber(
    @CurrentActor() actor: Actor,
    @Param('number') text: string,
    @Res({ passthrough: true }) reply: FastifyReply,
  ): Promise<ClaimDto> {
    const number = parseClaimNumber(text);
    if (number === undefined)
      throw new Refused(
        'not-found',
        'This is not a claim number: it has nine digits, and the last one checks the others.',
      );
    return answerWith(reply, await this.claims.getByNumber(actor, number));
  }

  @Get(':id/standing')
  @Needs('claim.read')
  @ApiOperation({ summary: 'Where the claim stands and what comes next' })
  @ApiOkResponse({ type: StandingDto })
  @Problems('not-found')
  async standing(@CurrentActor() actor: Actor, @IdParam('id') id: string): Promise<StandingDto> {
    return this.review.standing(actor, id);
  }

  @Get(':id/timeline')
  @Needs('claim.read')
  @ApiOperation({ summary: 'What happened so far, in words' })
  @ApiOkResponse({ type: TimelineDto })
  @Problems('not-found')
  async timeline(@CurrentActor() actor: Actor, @IdParam('id') id: string): Promise<TimelineDto> {
    const row = await this.claims.get(actor, id);
    return timelineDto(row, await this.review.dossier(actor, id), await this.claims.events(actor, id));
  }

  @Get(':id/dossier')
  @Needs('claim.read')
  @ApiOperation({ summary: 'Assessment, decisions and questions, as far as you may see them' })
  @ApiOkResponse({ type: DossierDto })
  @Problems('not-found')
  async dossier(
    @CurrentActor() actor: Actor,
    @IdParam('id') id: string,
    @Res({ passthrough: true }) reply: FastifyReply,
  ): Promise<DossierDto> {
    const row = await this.claims.get(actor, id);
    setVersion(reply, row.version);
    return dossierDto(row, await this.review.dossier(actor, id), actor);
  }

  @Get(':id/events')
  @Needs('claim.verify')
  @ApiOperation({ summary: 'The whole event trail, checked link by link' })
  @ApiOkResponse({ type: EventTrailDto })
  @Problems('not-found')
  async events(@CurrentActor() actor: Actor, @IdParam('id') id: string): Promise<EventTrailDto> {
    return trailDto(id, await this.claims.events(actor, id));
  }

  @Post(':id/filing')
  @Needs('claim.file')
  @NeedsVersion()
  @Creates()
  @ApiOperation({ summary: 'File a draft' })
  @ApiCreatedResponse({ type: ClaimDto })
  @Problems(...ACT_PROBLEMS, 'claim-incomplete', 'duplicate-claim')
  async file(
    @CurrentActor() actor: Actor,
    @IdParam('id') id: string,
    @IfMatch() match: VersionMatch,
    @Res({ passthrough: true }) reply: FastifyReply,
  ): Promise<ClaimDto> {
    return answerWith(reply, await this.claims.file(actor, id, match));
  }

  @Post(':id/withdrawal')
  @Needs('claim.withdraw')
  @NeedsVersion()
  @Creates()
  @ApiOperation({ summary: 'Withdraw a claim that is not decided yet' })
  @ApiCreatedResponse({ type: ClaimDto })
  @Problems(...ACT_PROBLEMS)
  async withdraw(
    @CurrentActor() actor: Actor,
    @IdParam('id') id: string,
    @IfMatch() match: VersionMatch,
    @Body() body: ReasonDto,
    @Res({ passthrough: true }) reply: FastifyReply,
  ): Promise<ClaimDto> {
    return answerWith(reply, await this.claims.withdraw(actor, id, body.reason, match));
  }
}
