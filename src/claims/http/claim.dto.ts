import { ApiProperty, ApiPropertyOptional } from '@nestjs/swagger';
import { Type } from 'class-transformer';
import {
  ArrayMaxSize,
  ArrayMinSize,
  IsArray,
  IsBoolean,
  IsIn,
  IsInt,
  IsISO8601,
  IsOptional,
  IsString,
  IsUUID,
  Length,
  Max,
  MaxLength,
  Min,
  MinLength,
  ValidateNested,
} from 'class-validator';
import {
  CLAIM_STATES,
  GROUNDS,
  RECEIPTS,
  REMEDIES,
  type ClaimState,
  type Ground,
  type Receipt,
  type Remedy,
} from '../../kernel/vocabulary.js';
import { PageQuery } from '../../platform/http/pages.js';
import { DECISION_OUTCOMES, OVERRIDE_REASONS, type DecisionOutcome, type OverrideReason } from '../claims.contract.js';

const INSTANT = { format: 'date-time', example: '2026-03-03T09:58:00-08:00' } as const;
const STRICT = { strict: true, strictSeparator: true } as const;

export class NewClaimDto {
  @ApiPropertyOptional({
    format: 'uuid',
    description: 'Made by the phone, so that sending twice opens one claim. Left out: the service makes one.',
  })
  @IsOptional()
  @IsUUID()
  id?: string;

  @ApiProperty({ format: 'uuid' })
  @IsUUID()
  visitId: string;

  @ApiProperty({ description: 'Serial number of the unit; it must be one of the visit.' })
  @IsString()
  @Length(1, 64)
  serial: string;

  @ApiPropertyOptional({
    format: 'uuid',
    description: 'The inspection the claim rests on. Only a return may do without.',
  })
  @IsOptional()
  @IsUUID()
  inspectionId?: string;

  @ApiProperty({ enum: GROUNDS })
  @IsIn(GROUNDS)
  ground: Ground;

  @ApiPropertyOptional({ enum: ['change of mind', 'wrong item'], description: 'For returns, and only for those.' })
  @IsOptional()
  @IsIn(['change of mind', 'wrong item'])
  returnReason?: 'change of mind' | 'wrong item';

  @ApiPropertyOptional({ enum: REMEDIES, description: 'What the customer would like.' })
  @IsOptional()
  @IsIn(REMEDIES)
  wish?: Remedy;

  @ApiPropertyOptional({ maxLength: 2000 })
  @IsOptional()
  @IsString()
  @MaxLength(2000)
  words?: string;

  @ApiPropertyOptional({ type: 'integer', minimum: 0, maximum: 20, default: 0 })
  @IsOptional()
  @IsInt()
  @Min(0)
  @Max(20)
  failedRepairs?: number;

  @ApiPropertyOptional({ ...INSTANT, description: 'When the damage was first noticed. Left out: now.' })
  @IsOptional()
  @IsISO8601(STRICT)
  noticedAt?: string;

  @ApiPropertyOptional({ ...INSTANT, description: 'When the carrier was told in writing, where it was.' })
  @IsOptional()
  @IsISO8601(STRICT)
  noticeToCarrierAt?: string;

  @ApiPropertyOptional({ default: false, description: 'File the claim in the same step.' })
  @IsOptional()
  @IsBoolean()
  file?: boolean;
}

export class ReasonDto {
  @ApiProperty({ minLength: 3, maxLength: 2000 })
  @IsString()
  @MinLength(3)
  @MaxLength(2000)
  reason: string;
}

export class WordsDto {
  @ApiPropertyOptional({ maxLength: 2000 })
  @IsOptional()
  @IsString()
  @MaxLength(2000)
  words?: string;
}

export class QuestionDto {
  @ApiProperty({ minLength: 3, maxLength: 2000 })
  @IsString()
  @MinLength(3)
  @MaxLength(2000)
  asked: string;

  @ApiProperty({ enum: ['crew', 'retailer', 'maker', 'carrier', 'customer'] })
  @IsIn(['crew', 'retailer', 'maker', 'carrier', 'customer'])
  of: 'crew' | 'retailer' | 'maker' | 'carrier' | 'customer';
}

export class SuppliedFactsDto {
  @ApiPropertyOptional()
  @IsOptional()
  @IsBoolean()
  stepsFollowed?: boolean;

  @ApiPropertyOptional({ enum: ['kept', 'thrown away', 'not known'] })
  @IsOptional()
  @IsIn(['kept', 'thrown away', 'not known'])
  packaging?: 'kept' | 'thrown away' | 'not known';

  @ApiPropertyOptional({ enum: RECEIPTS })
  @IsOptional()
  @IsIn(RECEIPTS)
  receipt?: Receipt;

  @ApiPropertyOptional({ maxLength: 500 })
  @IsOptional()
  @IsString()
  @MaxLength(500)
  receiptWords?: string;

  @ApiPropertyOptional(INSTANT)
  @IsOptional()
  @IsISO8601(STRICT)
  deliveredAt?: string;

  @ApiPropertyOptional(INSTANT)
  @IsOptional()
  @IsISO8601(STRICT)
  noticeToCarrierAt?: string;

  @ApiPropertyOptional({ type: 'integer', minimum: 0, maximum: 20 })
  @IsOptional()
  @IsInt()
  @Min(0)
  @Max(20)
  failedRepairs?: number;
}

/** New words and facts: an answer to a question, evidence that came later, or an appeal. */
export class InformationDto {
  @ApiProperty({ minLength: 3, maxLength: 4000 })
  @IsString()
  @MinLength(3)
  @MaxLength(4000)
  words: string;

  @ApiPropertyOptional({ type: SuppliedFactsDto })
  @IsOptional()
  @ValidateNested()
  @Type(() => SuppliedFactsDto)
  facts?: SuppliedFactsDto;
}

export class DecisionDto {
  @ApiProperty({ enum: DECISION_OUTCOMES })
  @IsIn(DECISION_OUTCOMES)
  outcome: DecisionOutcome;

  @ApiPropertyOptional({ enum: REMEDIES, isArray: true, description: 'Left out: as proposed.' })
  @IsOptional()
  @IsArray()
  @ArrayMinSize(1)
  @ArrayMaxSize(6)
  @IsIn(REMEDIES, { each: true })
  remedies?: Remedy[];

  @ApiPropertyOptional({
    type: 'integer',
    minimum: 0,
    description: 'Money to the customer in minor units. Left out: as proposed.',
  })
  @IsOptional()
  @IsInt()
  @Min(0)
  @Max(Number.MAX_SAFE_INTEGER)
  totalMinor?: number;

  @ApiPropertyOptional({ example: 'USD', description: 'Must be the currency of the claim.' })
  @IsOptional()
  @IsString()
  @Length(3, 3)
  currency?: string;

  @ApiPropertyOptional({ enum: OVERRIDE_REASONS })
  @IsOptional()
  @IsIn(OVERRIDE_REASONS)
  reason?: OverrideReason;

  @ApiPropertyOptional({ maxLength: 4000 })
  @IsOptional()
  @IsString()
  @MaxLength(4000)
  words?: string;
}

export class SettlementDto {
  @ApiProperty({ type: 'integer', minimum: 0, description: 'Exactly what was decided, in minor units.' })
  @IsInt()
  @Min(0)
  @Max(Number.MAX_SAFE_INTEGER)
  amountMinor: number;

  @ApiProperty({ example: 'USD' })
  @IsString()
  @Length(3, 3)
  currency: string;

  @ApiProperty({ maxLength: 140, description: 'Reference of the payment, shipment or visit.' })
  @IsString()
  @Length(1, 140)
  reference: string;
}

export class ClaimListQuery extends PageQuery {
  @ApiPropertyOptional({ enum: CLAIM_STATES, description: 'Only claims in this state.' })
  @IsOptional()
  @IsIn(CLAIM_STATES)
  state?: ClaimState;

  @ApiPropertyOptional({ enum: GROUNDS })
  @IsOptional()
  @IsIn(GROUNDS)
  ground?: Ground;

  @ApiPropertyOptional({ maxLength: 64, description: 'Part of a claim number, serial number or order reference.' })
  @IsOptional()
  @IsString()
  @MaxLength(64)
  find?: string;

  @ApiPropertyOptional({ enum: ['due', 'newest'], default: 'newest' })
  @IsOptional()
  @IsIn(['due', 'newest'])
  order?: 'due' | 'newest';
}
