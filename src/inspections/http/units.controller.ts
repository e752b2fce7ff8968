import { Controller, Get, Query, Req, Res } from '@nestjs/common';
import { ApiOkResponse, ApiOperation, ApiTags } from '@nestjs/swagger';
import type { FastifyReply, FastifyRequest } from 'fastify';
import type { Actor } from '../../access/access.contract.js';
import { CurrentActor, Needs } from '../../access/access.decorators.js';
import { sendPage, type Page } from '../../platform/http/pages.js';
import { Problems } from '../../platform/http/problem-docs.js';
import { UnitsService } from '../units.service.js';
import { UnitListQuery, UnitPage, type UnitSummary } from './unit.dto.js';

/** Units by serial number, for whoever looks one up. */
@ApiTags('visits')
@Controller('v1/units')
export class UnitsController {
  constructor(private readonly units: UnitsService) {}

  @Get()
  @Needs('visit.read')
  @ApiOperation({ summary: 'List units with the visits that bring them, the newest first' })
  @ApiOkResponse({ type: UnitPage })
  @Problems('cursor-invalid')
  async list(
    @CurrentActor() actor: Actor,
    @Query() query: UnitListQuery,
    @Req() request: FastifyRequest,
    @Res({ passthrough: true }) reply: FastifyReply,
  ): Promise<Page<UnitSummary>> {
    const find = query.find?.trim();
    const page = await this.units.list(actor, { sku: query.sku, find: find === '' ? undefined : find }, query);
    const items = page.items.map(({ deliveredAt, ...unit }) => ({
      ...unit,
      ...(deliveredAt === null ? {} : { deliveredAt }),
    }));
    return sendPage(request, reply, { ...page, items });
  }
}
