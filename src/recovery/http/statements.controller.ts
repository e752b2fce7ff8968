import { Controller, Get, Param, Query, StreamableFile } from '@nestjs/common';
import { ApiOkResponse, ApiOperation, ApiParam, ApiProduces, ApiTags } from '@nestjs/swagger';
import type { Actor } from '../../access/access.contract.js';
import { CurrentActor, Needs } from '../../access/access.decorators.js';
import { Problems } from '../../platform/http/problem-docs.js';
import { Refused } from '../../platform/http/problems.js';
import { LIABLE_PARTIES, type LiableParty } from '../recovery.contract.js';
import { StatementsService } from '../statements.service.js';
import { StatementDto } from './recovery-answers.dto.js';
import { StatementQuery } from './recovery.dto.js';
import { statementCsv, statementDto } from './recovery.mapper.js';

/** What each kind of party owes us, by age. */
@ApiTags('recoveries')
@Controller('v1/recoveries/statements')
export class StatementsController {
  constructor(private readonly statements: StatementsService) {}

  @Get(':party.csv')
  @Needs('recovery.read')
  @ApiOperation({ summary: 'The statement as comma-separated values (RFC 4180)' })
  @ApiParam({ name: 'party', enum: LIABLE_PARTIES })
  @ApiProduces('text/csv')
  @ApiOkResponse({ schema: { type: 'string' } })
  @Problems('not-found')
  async csv(
    @CurrentActor() actor: Actor,
    @Param('party') party: string,
    @Query() query: StatementQuery,
  ): Promise<StreamableFile> {
    const text = statementCsv(await this.statements.of(actor, partyOf(party), query.name));
    const disposition = `attachment; filename="statement-${party}.csv"`;
    return new StreamableFile(Buffer.from(text, 'utf8'), {
      type: 'text/csv; charset=utf-8; header=present',
      disposition,
    });
  }

  @Get(':party')
  @Needs('recovery.read')
  @ApiOperation({ summary: 'What a kind of party owes, demand by demand and by age' })
  @ApiParam({ name: 'party', enum: LIABLE_PARTIES })
  @ApiOkResponse({ type: StatementDto })
  @Problems('not-found')
  async json(
    @CurrentActor() actor: Actor,
    @Param('party') party: string,
    @Query() query: StatementQuery,
  ): Promise<StatementDto> {
    return statementDto(await this.statements.of(actor, partyOf(party), query.name));
  }
}

function partyOf(text: string): LiableParty {
  const party = LIABLE_PARTIES.find((candidate) => candidate === text);
  if (party === undefined) throw new Refused('not-found', `There are statements for ${LIABLE_PARTIES.join(', ')}.`);
  return party;
}
