import { ApiProperty, ApiPropertyOptional } from '@nestjs/swagger';
import type { DemandCap } from '../../adjudication/adjudication.contract.js';
import { BANDS, type Band } from '../domain/statement.js';
import {
  LIABLE_PARTIES,
  RECOVERY_EVENTS,
  RECOVERY_STATES,
  type LiableParty,
  type Particulars,
  type RecoveryEventKind,
  type RecoveryState,
} from '../recovery.contract.js';

export class DemandLineDto {
  @ApiProperty() id: string;
  @ApiProperty() says: string;
  @ApiProperty({ type: 'integer' }) amountMinor: number;
  @ApiProperty({ description: 'How it was worked out, in words and figures.' }) working: string;
  @ApiProperty() about: string;
}

export class NeedDto {
  @ApiProperty() what: string;
  @ApiProperty() ask: string;
  @ApiProperty() why: string;
}

export class RecoveryDto {
  @ApiProperty({ format: 'uuid' }) id: string;
  @ApiProperty({ format: 'uuid' }) claimId: string;
  @ApiProperty({ description: 'Number under which the demand goes out.', example: '482177305 carrier' })
  reference: string;
  @ApiProperty({ enum: LIABLE_PARTIES }) party: LiableParty;
  @ApiProperty() partyName: string;
  @ApiProperty({ enum: RECOVERY_STATES }) state: RecoveryState;
  @ApiProperty({ example: 'USD' }) currency: string;
  @ApiProperty({ type: 'integer' }) demandedMinor: number;
  @ApiProperty({ type: [DemandLineDto] }) lines: DemandLineDto[];
  @ApiProperty({ type: Object, description: 'The limit of liability: basis, limit, working, rule and source.' })
  cap: DemandCap;
  @ApiProperty({ type: 'integer', description: 'What the limit cuts off; it falls on another party.' })
  cutMinor: number;
  @ApiProperty({ type: [NeedDto], description: 'What must be known before the limit is settled.' }) needs: NeedDto[];
  @ApiProperty({ type: 'integer', nullable: true }) offeredMinor: number | null;
  @ApiProperty({ type: 'integer' }) paidMinor: number;
  @ApiProperty({ type: 'integer', description: 'Salvage credited after the demand.' }) salvageMinor: number;
  @ApiProperty({ type: 'integer' }) writtenOffMinor: number;
  @ApiProperty({ type: 'integer', description: 'Still owed of what was sent.' }) outstandingMinor: number;
  @ApiProperty({ type: Object }) particulars: Particulars;
  @ApiPropertyOptional() theirReference?: string;
  @ApiPropertyOptional({ format: 'date-time' }) sentAt?: string;
  @ApiPropertyOptional({ format: 'date-time' }) acknowledgedAt?: string;
  @ApiPropertyOptional({ format: 'date-time' }) answeredAt?: string;
  @ApiProperty({ type: 'integer' }) version: number;
}

export class ElementDto {
  @ApiProperty() id: string;
  @ApiProperty() says: string;
  @ApiProperty({ enum: ['met', 'missing', 'late'] }) state: 'met' | 'missing' | 'late';
  @ApiProperty() source: string;
  @ApiProperty({ description: 'What mends it; empty where it is met.' }) mends: string;
}

export class CompletenessDto {
  @ApiProperty({ enum: ['complete claim', 'amount required', 'notice of damage', 'not a claim'] }) standing: string;
  @ApiProperty({ type: [ElementDto] }) elements: ElementDto[];
  @ApiProperty({ type: [ElementDto] }) papers: ElementDto[];
}

export class RecoveryEventDto {
  @ApiProperty({ type: 'integer' }) n: number;
  @ApiProperty({ enum: RECOVERY_EVENTS }) kind: RecoveryEventKind;
  @ApiProperty({ format: 'date-time' }) at: string;
  @ApiProperty() by: string;
  @ApiProperty({ type: Object }) body: object;
  @ApiProperty() hash: string;
}

export class RecoveryClockDto {
  @ApiProperty() id: string;
  @ApiProperty() title: string;
  @ApiProperty() ground: string;
  @ApiProperty() source: string;
  @ApiProperty() owedBy: string;
  @ApiProperty({ enum: ['not started', 'running', 'met', 'missed'] }) state: string;
  @ApiProperty({ type: String, format: 'date', nullable: true }) lastDay: string | null;
}

/** A recovery with all that is looked at before acting on it. */
export class RecoveryFileDto {
  @ApiProperty({ type: RecoveryDto }) recovery: RecoveryDto;
  @ApiProperty({ type: CompletenessDto }) completeness: CompletenessDto;
  @ApiProperty({ type: [RecoveryClockDto] }) clocks: RecoveryClockDto[];
  @ApiProperty({ type: [RecoveryEventDto] }) events: RecoveryEventDto[];
  @ApiProperty() caution: string;
}

export class RecoveryPageDto {
  @ApiProperty({ type: [RecoveryDto] }) items: RecoveryDto[];
  @ApiPropertyOptional() next?: string;
}

export class BalanceDto {
  @ApiProperty({ example: 'party:carrier' }) account: string;
  @ApiProperty() currency: string;
  @ApiProperty({ type: 'integer', description: 'Debits positive.' }) amountMinor: number;
}

/** The recoveries of one claim, and what its ledger holds; the balances of one currency sum to zero. */
export class ClaimRecoveriesDto {
  @ApiProperty({ type: [RecoveryDto] }) items: RecoveryDto[];
  @ApiProperty({ type: [BalanceDto] }) balances: BalanceDto[];
}

export class StatementLineDto {
  @ApiProperty({ format: 'uuid' }) id: string;
  @ApiProperty() reference: string;
  @ApiProperty() partyName: string;
  @ApiProperty({ enum: RECOVERY_STATES }) state: RecoveryState;
  @ApiProperty({ format: 'date-time' }) sentAt: string;
  @ApiProperty({ type: 'integer' }) days: number;
  @ApiProperty({ enum: BANDS }) band: Band;
  @ApiProperty() currency: string;
  @ApiProperty({ type: 'integer' }) demandedMinor: number;
  @ApiProperty({ type: 'integer' }) paidMinor: number;
  @ApiProperty({ type: 'integer' }) salvageMinor: number;
  @ApiProperty({ type: 'integer' }) writtenOffMinor: number;
  @ApiProperty({ type: 'integer' }) outstandingMinor: number;
}

export class AgeingDto {
  @ApiProperty() currency: string;
  @ApiProperty({ type: Object, description: 'Minor units by days since the demand was sent.' }) bands: Record<
    Band,
    number
  >;
  @ApiProperty({ type: 'integer' }) totalMinor: number;
}

export class StatementDto {
  @ApiProperty({ enum: LIABLE_PARTIES }) party: LiableParty;
  @ApiProperty({ type: String, nullable: true }) name: string | null;
  @ApiProperty({ format: 'date-time' }) asOf: string;
  @ApiProperty({ type: [StatementLineDto] }) lines: StatementLineDto[];
  @ApiProperty({ type: [AgeingDto] }) ageing: AgeingDto[];
}
