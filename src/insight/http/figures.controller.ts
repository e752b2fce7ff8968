import { Controller, Get, Query } from '@nestjs/common';
import { ApiOkResponse, ApiOperation, ApiTags } from '@nestjs/swagger';
import type { Actor } from '../../access/access.contract.js';
import { CurrentActor, Needs } from '../../access/access.decorators.js';
import { Problems } from '../../platform/http/problem-docs.js';
import { FiguresService } from '../figures.service.js';
import type { Figures } from '../insight.contract.js';
import { FiguresDto, FiguresQuery } from './figures.dto.js';

/** What a house wants to know of all its claims at once. */
@ApiTags('figures')
@Controller('v1/figures')
export class FiguresController {
  constructor(private readonly figures: FiguresService) {}

  @Get()
  @Needs('insight.read')
  @ApiOperation({
    summary:
      'Figures of all claims: outcomes, ages, times, what was broken, departures by rule, money, what checks told',
  })
  @ApiOkResponse({ type: FiguresDto })
  @Problems()
  read(@CurrentActor() actor: Actor, @Query() query: FiguresQuery): Promise<Figures> {
    return this.figures.of(actor, query);
  }
}
