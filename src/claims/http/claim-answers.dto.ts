import { ApiProperty, ApiPropertyOptional } from '@nestjs/swagger';
import { CLAIM_STATES, GROUNDS, REMEDIES, type ClaimState, type Ground, type Remedy } from '../../kernel/vocabulary.js';
import type { DecisionOutcome } from '../claims.contract.js';
import { DECISION_OUTCOMES } from '../claims.contract.js';
import { WordsToRetailerDto } from './claim.dto.js';
import { TakerNameDto } from './claim-takers.dto.js';

/** Where a claim stands, in words. */
export class StandingDto {
  @ApiProperty({ example: 'The claim is in review.' })
  says: string;

  @ApiProperty({ example: 'An analyst decides.' })
  next: string;

  @ApiProperty({
    type: String,
    format: 'date-time',
    nullable: true,
    description: 'By when that is promised; null where no day is. Limits of claims against carriers are no promise.',
  })
  by: string | null;
}

export class ClaimDto {
  @ApiProperty({ format: 'uuid' })
  id: string;

  @ApiProperty({
    type: String,
    nullable: true,
    example: '482177305',
    description: 'Nine digits with an ISO/IEC 7064 check digit, from filing on.',
  })
  number: string | null;

  @ApiProperty({ enum: CLAIM_STATES })
  state: ClaimState;

  @ApiProperty({ type: StandingDto })
  standing: StandingDto;

  @ApiProperty({ enum: GROUNDS })
  ground: Ground;

  @ApiPropertyOptional({ enum: ['change of mind', 'wrong item'] })
  returnReason?: 'change of mind' | 'wrong item';

  @ApiPropertyOptional({ enum: REMEDIES })
  wish?: Remedy;

  @ApiPropertyOptional()
  words?: string;

  @ApiProperty({ format: 'uuid' })
  visitId: string;

  @ApiPropertyOptional({ format: 'uuid' })
  inspectionId?: string;

  @ApiProperty({ example: 'USD' })
  currency: string;

  @ApiProperty({ format: 'date-time' })
  noticedAt: string;

  @ApiPropertyOptional({ format: 'date-time' })
  filedAt?: string;

  @ApiPropertyOptional({ format: 'date-time' })
  decidedAt?: string;

  @ApiProperty({ description: 'Also the ETag, as "v<version>".' })
  version: number;
}

/** A claim as the phone that sent it is told of it. */
export class ArrivedClaimDto extends ClaimDto {
  @ApiProperty({ format: 'uuid', description: 'The id under which it was sent.' })
  sentAs: string;

  @ApiProperty({
    description: 'The unit had an open claim already: what came was added to it, and `id` and `number` are its.',
  })
  addedTo: boolean;

  @ApiProperty({ type: 'integer', description: 'Photos that a phone says it holds and that have not come.' })
  photosOwed: number;
}

export class ClaimLineDto {
  @ApiProperty({ format: 'uuid' })
  id: string;

  @ApiProperty({ type: String, nullable: true })
  number: string | null;

  @ApiProperty({ enum: CLAIM_STATES })
  state: ClaimState;

  @ApiProperty({ type: StandingDto })
  standing: StandingDto;

  @ApiProperty({ enum: GROUNDS })
  ground: Ground;

  @ApiProperty()
  model: string;

  @ApiProperty()
  serial: string;

  @ApiProperty()
  retailer: string;

  @ApiProperty()
  orderReference: string;

  @ApiProperty()
  currency: string;

  @ApiPropertyOptional({
    type: 'integer',
    nullable: true,
    description: 'Money to the customer as decided; for the desk also as proposed.',
  })
  totalMinor?: number | null;

  @ApiPropertyOptional({
    enum: REMEDIES,
    isArray: true,
    description: 'What was decided to give; for the desk also what is proposed.',
  })
  remedies?: readonly Remedy[];

  @ApiProperty({ type: String, enum: DECISION_OUTCOMES, nullable: true })
  outcome: string | null;

  @ApiPropertyOptional({ description: 'For the desk: a decision waits for a second person.' })
  awaitingSecondPerson?: boolean;

  @ApiPropertyOptional({
    type: String,
    format: 'date-time',
    nullable: true,
    description: 'For the desk: when the nearest running clock of any kind ends.',
  })
  dueAt?: string | null;

  @ApiPropertyOptional({ type: String, nullable: true, description: 'For the desk: which clock that is.' })
  dueClock?: string | null;

  @ApiPropertyOptional({
    type: TakerNameDto,
    nullable: true,
    description: 'For the desk: who of it has taken the claim.',
  })
  takenBy?: TakerNameDto | null;

  @ApiProperty({ format: 'date-time' })
  openedAt: string;

  @ApiProperty({ format: 'date-time' })
  updatedAt: string;
}

export class ClaimPageDto {
  @ApiProperty({ type: [ClaimLineDto] })
  items: ClaimLineDto[];

  @ApiPropertyOptional({ description: 'Cursor of the next page; absent on the last.' })
  next?: string;
}

export class QuestionAnswerDto {
  @ApiProperty()
  asked: string;

  @ApiProperty({ enum: ['crew', 'retailer', 'maker', 'carrier', 'customer'] })
  of: string;

  @ApiProperty({ format: 'date-time' })
  askedAt: string;

  @ApiPropertyOptional()
  answer?: string;

  @ApiPropertyOptional({ format: 'date-time' })
  answeredAt?: string;
}

export class DecisionViewDto {
  @ApiProperty({ type: 'integer' })
  n: number;

  @ApiProperty({ enum: ['awaiting second person', 'standing', 'sent back', 'superseded'] })
  state: string;

  @ApiProperty({ enum: DECISION_OUTCOMES })
  outcome: DecisionOutcome;

  @ApiProperty({ enum: REMEDIES, isArray: true })
  remedies: readonly Remedy[];

  @ApiProperty({ type: 'integer' })
  totalMinor: number;

  @ApiProperty()
  currency: string;

  @ApiProperty({ format: 'date-time' })
  decidedAt: string;

  @ApiPropertyOptional({ type: WordsToRetailerDto, description: 'What whoever decided says to the retailer.' })
  toRetailer?: WordsToRetailerDto;

  @ApiPropertyOptional({ description: 'For the desk.' })
  decidedBy?: string;

  @ApiPropertyOptional({ description: 'For the desk.' })
  confirmedBy?: string;

  @ApiPropertyOptional({ description: 'For the desk.' })
  overrides?: boolean;

  @ApiPropertyOptional({
    type: 'object',
    additionalProperties: { type: 'string' },
    description: 'For the desk: explanation by subject, where the decision names it.',
  })
  explanations?: Readonly<Record<string, string>>;

  @ApiPropertyOptional({ description: 'For the desk.' })
  reason?: string;

  @ApiPropertyOptional({ description: 'For the desk.' })
  words?: string;

  @ApiPropertyOptional({ description: 'For the desk.' })
  sentBackBecause?: string;
}

export class DossierDto {
  @ApiProperty({ type: ClaimDto })
  claim: ClaimDto;

  @ApiPropertyOptional({
    type: 'object',
    additionalProperties: true,
    description: 'For the desk: the assessment, format assessment/1.',
  })
  assessment?: object;

  @ApiProperty({ type: [DecisionViewDto] })
  decisions: DecisionViewDto[];

  @ApiProperty({ type: [QuestionAnswerDto] })
  questions: QuestionAnswerDto[];
}
