import { Readable } from 'node:stream';
import { Controller, Get, Query, Req, Res } from '@nestjs/common';
import { ApiOkResponse, ApiOperation, ApiProduces, ApiTags } from '@nestjs/swagger';
import type { FastifyReply, FastifyRequest } from 'fastify';
import type { Actor } from '../../access/access.contract.js';
import { CurrentActor, Needs } from '../../access/access.decorators.js';
import { parseClaimNumber } from '../../kernel/claim-number.js';
import { parseUuid } from '../../kernel/ids.js';
import { Clock } from '../../platform/clock.js';
import { sendPage } from '../../platform/http/pages.js';
import { Problems } from '../../platform/http/problem-docs.js';
import { Invalid } from '../../platform/http/problems.js';
import { TrailService } from '../trail.service.js';
import { TRAIL_SOURCES, trailCsvHead, trailCsvLine, trailWords } from '../trail.contract.js';
import type { TrailEntry, TrailFilter } from '../trail.contract.js';
import {
  ChainsCheckedDto,
  ChainsQuery,
  TrailFileQuery,
  TrailPageDto,
  TrailQuery,
  type TrailEntryDto,
} from './trail.dto.js';

type Entries = readonly TrailEntry[];

/** Who did what. */
@ApiTags('trail')
@Controller('v1/events')
export class TrailController {
  constructor(
    private readonly trail: TrailService,
    private readonly clock: Clock,
  ) {}

  @Get()
  @Needs('policy.read')
  @ApiOperation({ summary: 'Who did what, the newest first; only what is yours to read' })
  @ApiOkResponse({ type: TrailPageDto })
  @Problems('cursor-invalid')
  async list(
    @CurrentActor() actor: Actor,
    @Query() query: TrailQuery,
    @Req() request: FastifyRequest,
    @Res({ passthrough: true }) reply: FastifyReply,
  ): Promise<TrailPageDto> {
    const page = await this.trail.list(actor, filterOf(query), query);
    const items = page.items.map(entryDto);
    return { ...sendPage(request, reply, { ...page, items }), items };
  }

  /** The first page is read before the answer begins, so that a failure there says so; a later one breaks the connection. */
  @Get('export')
  @Needs('policy.read')
  @ApiOperation({ summary: 'The same as a file: comma-separated values (RFC 4180) or JSON' })
  @ApiProduces('text/csv', 'application/json')
  @ApiOkResponse({ schema: { type: 'string' } })
  @Problems()
  async export(
    @CurrentActor() actor: Actor,
    @Query() query: TrailFileQuery,
    @Res() reply: FastifyReply,
  ): Promise<void> {
    const format = query.format ?? 'csv';
    const pages = this.trail.pages(actor, filterOf(query));
    const first = await pages.next();
    const all = from(first.done === true ? [] : first.value, pages);
    const day = this.clock.now().toString().slice(0, 10);
    void reply
      .type(format === 'csv' ? 'text/csv; charset=utf-8; header=present' : 'application/json')
      .header('content-disposition', `attachment; filename="trail-${day}.${format}"`)
      .header('cache-control', 'no-store')
      .send(Readable.from(format === 'csv' ? csv(all) : json(all)));
  }

  @Get('chains')
  @Needs('claim.verify')
  @ApiOperation({
    summary:
      'Walk the event chains of claims and their recoveries, some claims at a time, and name each that is not as it was written',
  })
  @ApiOkResponse({ type: ChainsCheckedDto })
  @Problems()
  async chains(@CurrentActor() actor: Actor, @Query() { after }: ChainsQuery): Promise<ChainsCheckedDto> {
    const { faults, ...checked } = await this.trail.verify(actor, after);
    return {
      ...checked,
      faults: faults.map(({ number, ...fault }) => (number === null ? fault : { ...fault, number })),
    };
  }
}

function filterOf({ source, who, kind, claim, from, to }: TrailQuery): TrailFilter {
  return {
    sources: source === undefined ? TRAIL_SOURCES : [source],
    ...(who === undefined ? {} : { who }),
    ...(kind === undefined ? {} : { kind }),
    ...(claim === undefined ? {} : { claim: claimOf(claim) }),
    ...(from === undefined ? {} : { from }),
    ...(to === undefined ? {} : { to }),
  };
}

function claimOf(text: string): string {
  const found = parseUuid(text.trim()) ?? parseClaimNumber(text);
  if (found !== undefined) return found;
  const detail = 'This is no claim number. It has nine digits, like 482 177 305; read it again.';
  throw new Invalid([{ pointer: '#/claim', detail }]);
}

function entryDto({ label, claim, hash, body, ...entry }: TrailEntry): TrailEntryDto {
  return {
    ...entry,
    body: { ...body },
    words: trailWords(body),
    ...(label === null ? {} : { label }),
    ...(claim === null ? {} : { claim }),
    ...(hash === null ? {} : { hash }),
  };
}

async function* from(first: Entries, rest: AsyncIterable<Entries>): AsyncGenerator<Entries, void, undefined> {
  yield first;
  yield* rest;
}

async function* csv(pages: AsyncIterable<Entries>): AsyncGenerator<string, void, undefined> {
  yield trailCsvHead;
  for await (const entries of pages) yield entries.map(trailCsvLine).join('');
}

async function* json(pages: AsyncIterable<Entries>): AsyncGenerator<string, void, undefined> {
  let before = '[\n';
  for await (const entries of pages) {
    if (entries.length === 0) continue;
    yield before + entries.map((entry) => JSON.stringify(entryDto(entry))).join(',\n');
    before = ',\n';
  }
  yield before === '[\n' ? '[]\n' : '\n]\n';
}
