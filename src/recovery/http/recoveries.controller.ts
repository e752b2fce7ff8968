import { Controller, Get, Query, Req, Res, StreamableFile } from '@nestjs/common';
import { ApiOkResponse, ApiOperation, ApiProduces, ApiTags } from '@nestjs/swagger';
import type { FastifyReply, FastifyRequest } from 'fastify';
import type { Actor } from '../../access/access.contract.js';
import { CurrentActor, Needs } from '../../access/access.decorators.js';
import { canonicalJson } from '../../kernel/canonical-json.js';
import { IdParam } from '../../platform/http/id.pipe.js';
import { pageOf, pageSize, readCursor, sendPage } from '../../platform/http/pages.js';
import { Problems } from '../../platform/http/problem-docs.js';
import { setVersion } from '../../platform/http/versions.js';
import { PacketsService } from '../packets.service.js';
import { RecoveriesService } from '../recoveries.service.js';
import { RecoveryFileDto, RecoveryPageDto } from './recovery-answers.dto.js';
import { RecoveryListQuery } from './recovery.dto.js';
import { fileDto, recoveryDto } from './recovery.mapper.js';

/** What is demanded of the parties that answer. */
@ApiTags('recoveries')
@Controller('v1/recoveries')
export class RecoveriesController {
  constructor(
    private readonly recoveries: RecoveriesService,
    private readonly packets: PacketsService,
  ) {}

  @Get()
  @Needs('recovery.read')
  @ApiOperation({ summary: 'Recoveries, newest first, a page at a time' })
  @ApiOkResponse({ type: RecoveryPageDto })
  @Problems('cursor-invalid')
  async list(
    @CurrentActor() actor: Actor,
    @Query() query: RecoveryListQuery,
    @Req() request: FastifyRequest,
    @Res({ passthrough: true }) reply: FastifyReply,
  ): Promise<RecoveryPageDto> {
    const size = pageSize(query);
    const filter = { ...(query.state ? { state: query.state } : {}), ...(query.party ? { party: query.party } : {}) };
    const rows = await this.recoveries.page(actor, filter, readCursor(query, 'iu'), size);
    const page = pageOf(rows, size, (row) => [row.createdAt, row.id], recoveryDto);
    return { ...sendPage(request, reply, page), items: [...page.items] };
  }

  @Get(':id')
  @Needs('recovery.read')
  @ApiOperation({ summary: 'One recovery: demand, completeness, clocks and history' })
  @ApiOkResponse({ type: RecoveryFileDto })
  @Problems('not-found', 'recovery-state-forbids')
  async get(
    @CurrentActor() actor: Actor,
    @IdParam('id') id: string,
    @Res({ passthrough: true }) reply: FastifyReply,
  ): Promise<RecoveryFileDto> {
    const file = await this.recoveries.file(actor, id);
    setVersion(reply, file.row.version);
    return fileDto(file);
  }

  @Get(':id/packet.pdf')
  @Needs('recovery.read')
  @ApiOperation({ summary: 'The claim on the party as one PDF' })
  @ApiProduces('application/pdf')
  @ApiOkResponse({ schema: { type: 'string', format: 'binary' } })
  @Problems('not-found', 'recovery-state-forbids')
  async pdf(@CurrentActor() actor: Actor, @IdParam('id') id: string): Promise<StreamableFile> {
    const { bytes, content } = await this.packets.pdf(actor, id);
    return new StreamableFile(bytes, { type: 'application/pdf', disposition: attached(content.reference, 'pdf') });
  }

  @Get(':id/packet.json')
  @Needs('recovery.read')
  @ApiOperation({ summary: 'The same as data, in canonical JSON (RFC 8785)' })
  @ApiProduces('application/json')
  @ApiOkResponse({ schema: { type: 'object', additionalProperties: true } })
  @Problems('not-found', 'recovery-state-forbids')
  async json(@CurrentActor() actor: Actor, @IdParam('id') id: string): Promise<StreamableFile> {
    const content = await this.packets.content(actor, id);
    const bytes = Buffer.from(canonicalJson(content), 'utf8');
    return new StreamableFile(bytes, { type: 'application/json', disposition: attached(content.reference, 'json') });
  }
}

function attached(reference: string, ending: string): string {
  return `attachment; filename="${reference.replaceAll(/[^A-Za-z0-9-]+/g, '-')}.${ending}"`;
}
