import { promisify } from 'node:util';
import { gzip } from 'node:zlib';
import { Controller, Get, Query, Req, Res } from '@nestjs/common';
import { ApiExcludeController } from '@nestjs/swagger';
import type { FastifyReply, FastifyRequest } from 'fastify';
import type { Actor } from '../../access/access.contract.js';
import { CurrentActor, Needs } from '../../access/access.decorators.js';
import { parseUuid } from '../../kernel/ids.js';
import { Refused } from '../../platform/http/problems.js';
import { CrewPacks } from '../crew-packs.js';
import { text, type Form } from '../form-fields.js';

const squeeze = promisify(gzip);

/** What the crew's app reads: one request for everything that a visit needs. */
@ApiExcludeController()
@Controller('crew')
export class CrewPackController {
  constructor(private readonly packs: CrewPacks) {}

  /** A crew that came by a link has one visit; a person names the visit. */
  @Get('pack')
  @Needs('inspection.fill')
  async pack(
    @CurrentActor() actor: Actor,
    @Query() query: Form,
    @Req() request: FastifyRequest,
    @Res() reply: FastifyReply,
  ): Promise<void> {
    const visit = parseUuid(text(query, 'visit')) ?? actor.visit;
    if (visit === undefined) throw new Refused('not-found', 'Say which visit.');
    const json = Buffer.from(JSON.stringify(await this.packs.pack(actor, visit)));
    void reply.type('application/json; charset=utf-8').header('vary', 'accept-encoding, authorization, cookie');
    // Checklists repeat themselves: what goes over the air is an eighth of it.
    if (!/\bgzip\b/.test(request.headers['accept-encoding'] ?? '')) void reply.send(json);
    else void reply.header('content-encoding', 'gzip').send(await squeeze(json));
  }
}
