import { ApiPropertyOptional, OmitType } from '@nestjs/swagger';
import { ArrayMaxSize, ArrayMinSize, IsArray, IsIn, IsOptional, IsString, MaxLength } from 'class-validator';
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
import {
  DocumentField,
  InstantField,
  MinorField,
  NestedField,
  OneOfField,
  TextField,
  UuidField,
  WholeField,
  YesNoField,
} from '../../platform/http/fields.js';
import { EXCEPTED_CAUSES, type ExceptedCause } from '../../adjudication/adjudication.contract.js';
import { PageQuery } from '../../platform/http/pages.js';
import { DECISION_OUTCOMES, OVERRIDE_REASONS, type DecisionOutcome, type OverrideReason } from '../claims.contract.js';

const RETURN_REASONS = ['change of mind', 'wrong item'] as const;
const PACKAGING = ['kept', 'thrown away', 'not known'] as const;
const ASKED = ['crew', 'retailer', 'maker', 'carrier', 'customer'] as const;
const INSTANT_EXAMPLE = '2026-03-03T09:58:00-08:00';

/** A claim to open. */
export class NewClaimDto {
  @UuidField({
    optional: true,
    description: 'Made by the phone, so that sending twice opens one claim. Left out: the service makes one.',
  })
  id?: string;

  @UuidField()
  visitId: string;

  @TextField({ max: 64, description: 'Serial number of the unit; it must be one of the visit.' })
  serial: string;

  @UuidField({ optional: true, description: 'The inspection the claim rests on. Only a return may do without.' })
  inspectionId?: string;

  @OneOfField(GROUNDS)
  ground: Ground;

  @OneOfField(RETURN_REASONS, { optional: true, description: 'For returns, and only for those.' })
  returnReason?: (typeof RETURN_REASONS)[number];

  @OneOfField(REMEDIES, { optional: true, description: 'What the customer would like.' })
  wish?: Remedy;

  @TextField({ min: 0, max: 2000, optional: true })
  words?: string;

  @WholeField({ min: 0, max: 20, optional: true, description: 'Repairs of this fault that have failed. Left out: 0.' })
  failedRepairs?: number;

  @InstantField({
    optional: true,
    example: INSTANT_EXAMPLE,
    description: 'When the damage was first noticed. Left out: now.',
  })
  noticedAt?: string;

  @InstantField({
    optional: true,
    example: INSTANT_EXAMPLE,
    description: 'When the carrier was told in writing, where it was.',
  })
  noticeToCarrierAt?: string;

  @YesNoField({ optional: true, description: 'File the claim in the same step. Left out: false.' })
  file?: boolean;
}

/** A claim as a phone sends it: its id stands in the address, and it is filed at once. */
export class ArrivingClaimDto extends OmitType(NewClaimDto, ['id', 'file'] as const) {}

/** Why, in words. */
export class ReasonDto {
  @TextField({ min: 3, max: 2000 })
  reason: string;
}

/** A note that may be left out. */
export class WordsDto {
  @TextField({ min: 0, max: 2000, optional: true })
  words?: string;
}

/** What is asked, and of whom. */
export class QuestionDto {
  @TextField({ min: 3, max: 2000 })
  asked: string;

  @OneOfField(ASKED)
  of: (typeof ASKED)[number];
}

/** Facts that were not known when the claim was filed. */
export class SuppliedFactsDto {
  @YesNoField({ optional: true })
  stepsFollowed?: boolean;

  @OneOfField(PACKAGING, { optional: true })
  packaging?: (typeof PACKAGING)[number];

  @OneOfField(RECEIPTS, { optional: true })
  receipt?: Receipt;

  @TextField({ min: 0, max: 500, optional: true })
  receiptWords?: string;

  @InstantField({ optional: true, example: INSTANT_EXAMPLE })
  deliveredAt?: string;

  @InstantField({ optional: true, example: INSTANT_EXAMPLE })
  noticeToCarrierAt?: string;

  @WholeField({ min: 0, max: 20, optional: true })
  failedRepairs?: number;

  @YesNoField({
    optional: true,
    description: 'Whether the carrier was told in writing, or the call confirmed in writing.',
  })
  noticeInWriting?: boolean;

  @YesNoField({ optional: true, description: 'Whether the carrier was asked to inspect.' })
  inspectionRequested?: boolean;

  @OneOfField(['recipient', 'sender'], { optional: true, description: 'Who complained to the carrier.' })
  complaintBy?: 'recipient' | 'sender';

  @YesNoField({ optional: true, description: 'Whether the carrier has shown that it was free from negligence.' })
  carrierFreeOfNegligence?: boolean;

  @OneOfField(EXCEPTED_CAUSES, { optional: true, description: 'The excepted cause that the carrier has shown.' })
  exceptedCause?: ExceptedCause;
}

/** New words and facts: an answer to a question, evidence that came later, or an appeal. */
export class InformationDto {
  @TextField({ min: 3, max: 4000 })
  words: string;

  @NestedField(() => SuppliedFactsDto, { optional: true })
  facts?: SuppliedFactsDto;
}

/** A note for the desk. */
export class NoteDto {
  @TextField({ max: 4000, description: 'Stands in the trail for good; no retailer and no crew reads it.' })
  words: string;
}

/** What whoever decides says to the retailer. */
export class WordsToRetailerDto {
  @TextField({ min: 0, max: 2000, optional: true })
  en?: string;

  @TextField({ min: 0, max: 2000, optional: true })
  es?: string;
}

/** What is decided. */
export class DecisionDto {
  @OneOfField(DECISION_OUTCOMES)
  outcome: DecisionOutcome;

  @ApiPropertyOptional({ enum: REMEDIES, isArray: true, description: 'Left out: as proposed.' })
  @IsOptional()
  @IsArray()
  @ArrayMinSize(1)
  @ArrayMaxSize(6)
  @IsIn(REMEDIES, { each: true })
  remedies?: Remedy[];

  @MinorField({ optional: true, description: 'Money to the customer in minor units. Left out: as proposed.' })
  totalMinor?: number;

  @TextField({ min: 3, max: 3, optional: true, example: 'USD', description: 'Must be the currency of the claim.' })
  currency?: string;

  @OneOfField(OVERRIDE_REASONS, { optional: true })
  reason?: OverrideReason;

  @TextField({ min: 0, max: 4000, optional: true })
  words?: string;

  @NestedField(() => WordsToRetailerDto, {
    optional: true,
    description: 'For the retailer: stands on its page of the claim and in its letter. `words` are for the desk.',
  })
  toRetailer?: WordsToRetailerDto;

  @DocumentField({
    optional: true,
    description:
      'Id of the explanation by subject of a finding: what was the matter, where you read the evidence otherwise.',
  })
  explanations?: Record<string, string>;
}

/** What was paid or given. */
export class SettlementDto {
  @MinorField({ description: 'Exactly what was decided, in minor units.' })
  amountMinor: number;

  @TextField({ min: 3, max: 3, example: 'USD' })
  currency: string;

  @TextField({ max: 140, description: 'Reference of the payment, shipment or visit.' })
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
