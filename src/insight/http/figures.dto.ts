import { ApiProperty, ApiPropertyOptional } from '@nestjs/swagger';
import { COMPONENTS, GROUNDS, PARTIES, type Component, type Ground, type Party } from '../../kernel/vocabulary.js';
import { DateField, TextField, UuidField } from '../../platform/http/fields.js';
import { AGE_BANDS, OPEN_STATES, type AgeBand, type OpenState } from '../insight.contract.js';

/** Of which days, and of whose claims. */
export class FiguresQuery {
  @DateField({ optional: true, description: 'First day, of UTC; a year before the last one if left out.' })
  from?: string;

  @DateField({ optional: true, description: 'Last day, of UTC; today if left out.' })
  until?: string;

  @UuidField({ optional: true, description: 'Only claims of this retailer.' })
  retailer?: string;

  @TextField({ max: 200, optional: true, description: 'Only units of this maker, by its name.' })
  maker?: string;
}

export class FiguresWishDto {
  @ApiProperty({ format: 'date' }) from: string;
  @ApiProperty({ format: 'date' }) until: string;
  @ApiPropertyOptional({ format: 'uuid' }) retailer?: string;
  @ApiPropertyOptional() maker?: string;
}

export class DecidedDto {
  @ApiProperty({ example: 'approved' }) outcome: string;
  @ApiProperty({ enum: GROUNDS }) ground: Ground;
  @ApiProperty({ type: 'integer' }) count: number;
}

export class OpenCasesDto {
  @ApiProperty({ enum: AGE_BANDS }) band: AgeBand;
  @ApiProperty({ enum: OPEN_STATES }) state: OpenState;
  @ApiProperty({ type: 'integer' }) count: number;
}

export class SpanDto {
  @ApiProperty({ type: 'integer' }) count: number;
  @ApiProperty({ type: 'number', nullable: true }) medianHours: number | null;
  @ApiProperty({ type: 'number', nullable: true, description: 'Nine in ten took no longer.' })
  ninetiethHours: number | null;
}

export class WaitingSpanDto extends SpanDto {
  @ApiProperty({ type: 'integer', description: 'Filed within the days, and still waiting for it.' }) waiting: number;
}

export class MonthSpanDto extends SpanDto {
  @ApiProperty({ example: '2026-03' }) month: string;
}

export class TimesDto {
  @ApiProperty({ type: WaitingSpanDto }) firstLook: WaitingSpanDto;
  @ApiProperty({ type: WaitingSpanDto }) decision: WaitingSpanDto;
  @ApiProperty({ type: [MonthSpanDto] }) byMonth: MonthSpanDto[];
}

export class ClassDto {
  @ApiProperty() maker: string;
  @ApiProperty({ example: '2026-03' }) month: string;
  @ApiProperty({ enum: COMPONENTS }) component: Component;
  @ApiProperty({ type: 'integer' }) count: number;
}

export class RateDto {
  @ApiProperty({ type: 'integer' }) count: number;
  @ApiProperty({ type: 'integer' }) of: number;
  @ApiProperty({ type: 'number' }) rate: number;
  @ApiProperty({ type: 'number', description: 'Lower bound of a 95 % Wilson score interval.' }) low: number;
  @ApiProperty({ type: 'number' }) high: number;
}

export class RuleOverridesDto extends RateDto {
  @ApiProperty() policy: string;
  @ApiProperty({ example: 'responsibility/RES-US-40' }) rule: string;
}

export class PartyMoneyDto {
  @ApiProperty({ enum: PARTIES }) party: Party;
  @ApiProperty({ example: 'USD' }) currency: string;
  @ApiProperty({ type: 'integer' }) demands: number;
  @ApiProperty({ type: 'integer' }) notSentMinor: number;
  @ApiProperty({ type: 'integer' }) sentMinor: number;
  @ApiProperty({ type: 'integer', description: 'Paid, or credited from salvage.' }) recoveredMinor: number;
  @ApiProperty({ type: 'integer' }) writtenOffMinor: number;
  @ApiProperty({ type: 'integer' }) owedMinor: number;
}

export class CheckYieldDto extends RateDto {
  @ApiProperty({ description: 'Code of the evidence model.' }) model: string;
  @ApiProperty() observation: string;
  @ApiProperty() says: string;
  @ApiProperty({ type: 'integer' }) present: number;
  @ApiProperty({ type: 'integer' }) notChecked: number;
  @ApiProperty({ type: 'number' }) meanDecibans: number;
}

export class RetailerChoiceDto {
  @ApiProperty({ format: 'uuid' }) id: string;
  @ApiProperty() name: string;
}

export class FigureChoicesDto {
  @ApiProperty({ type: [String] }) makers: string[];
  @ApiProperty({ type: [RetailerChoiceDto] }) retailers: RetailerChoiceDto[];
}

/** What was decided, how long it took, what was broken, what came back. */
export class FiguresDto {
  @ApiProperty({ type: FiguresWishDto }) wish: FiguresWishDto;
  @ApiProperty({ format: 'date-time' }) asOf: string;
  @ApiProperty({ type: [DecidedDto] }) decided: DecidedDto[];
  @ApiProperty({ type: [OpenCasesDto], description: 'Cases without a decision now, whenever they were filed.' })
  open: OpenCasesDto[];
  @ApiProperty({ type: TimesDto }) times: TimesDto;
  @ApiProperty({ type: [ClassDto] }) classes: ClassDto[];
  @ApiProperty({ type: [RuleOverridesDto], description: 'The surest first.' }) overrides: RuleOverridesDto[];
  @ApiProperty({ type: [PartyMoneyDto] }) money: PartyMoneyDto[];
  @ApiProperty({ type: [CheckYieldDto], description: 'The surest first.' }) checks: CheckYieldDto[];
  @ApiProperty({ type: FigureChoicesDto }) choices: FigureChoicesDto;
}
