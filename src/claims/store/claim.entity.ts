import { Column, Entity, PrimaryColumn } from 'typeorm';
import type { ClaimState, Ground, Remedy } from '../../kernel/vocabulary.js';
import { exactNumber, instantText } from '../../platform/db/column-transformers.js';
import type { DecisionOutcome, Stamp, WordsToRetailer } from '../claims.contract.js';
import type { SuppliedFacts } from '../domain/compose-claim-file.js';
import { CLOCK_ENTITIES } from './claim-clock.entity.js';

/** One claim as it stands. What happened to it is in claim_event. */
@Entity('claim')
export class ClaimRow {
  @PrimaryColumn('uuid')
  id: string;

  @Column('uuid')
  tenantId: string;

  @Column('uuid')
  retailerId: string;

  @Column('uuid')
  visitId: string;

  @Column('uuid')
  unitId: string;

  @Column('uuid', { nullable: true })
  inspectionId: string | null;

  @Column('char', { length: 9, nullable: true })
  number: string | null;

  @Column('text')
  state: ClaimState;

  @Column('text')
  ground: Ground;

  @Column('text', { nullable: true })
  returnReason: 'change of mind' | 'wrong item' | null;

  @Column('text', { nullable: true })
  wish: Remedy | null;

  @Column('text', { nullable: true })
  words: string | null;

  @Column('integer', { default: 0 })
  failedRepairs: number;

  @Column('jsonb', { default: {} })
  supplied: SuppliedFacts;

  @Column('timestamptz', { transformer: instantText })
  noticedAt: string;

  @Column('timestamptz', { nullable: true, transformer: instantText })
  noticeToCarrierAt: string | null;

  @Column('char', { length: 3 })
  currency: string;

  @Column('text', { nullable: true })
  filedBy: string | null;

  @Column('timestamptz', { nullable: true, transformer: instantText })
  filedAt: string | null;

  @Column('timestamptz', { nullable: true, transformer: instantText })
  proposedAt: string | null;

  @Column('timestamptz', { nullable: true, transformer: instantText })
  decidedAt: string | null;

  @Column('timestamptz', { nullable: true, transformer: instantText })
  settledAt: string | null;

  @Column('timestamptz', { nullable: true, transformer: instantText })
  closedAt: string | null;

  @Column('timestamptz', { nullable: true, transformer: instantText })
  withdrawnAt: string | null;

  /** The nearest running clock that somebody owes, for the queue. */
  @Column('timestamptz', { nullable: true, transformer: instantText })
  dueAt: string | null;

  @Column('text', { nullable: true })
  dueClock: string | null;

  /** End of the nearest running clock that is a promise to the retailer or its customer. */
  @Column('timestamptz', { nullable: true, transformer: instantText })
  promisedAt: string | null;

  @Column('uuid', { nullable: true })
  assessmentId: string | null;

  @Column('uuid', { nullable: true })
  decisionId: string | null;

  @Column('integer', { default: 1 })
  version: number;

  @Column('text')
  createdBy: string;

  @Column('timestamptz', { default: () => 'now()', transformer: instantText })
  createdAt: string;

  @Column('timestamptz', { default: () => 'now()', transformer: instantText })
  updatedAt: string;
}

/** One link of a claim's chain. Append-only; the database refuses anything else. */
@Entity('claim_event')
export class ClaimEventRow {
  @PrimaryColumn('uuid')
  claimId: string;

  @PrimaryColumn('integer')
  n: number;

  @Column('uuid')
  tenantId: string;

  @Column('text')
  kind: string;

  @Column('timestamptz', { transformer: instantText })
  at: string;

  @Column('jsonb')
  actor: Stamp;

  @Column('jsonb')
  body: object;

  @Column('char', { length: 64 })
  previousHash: string;

  @Column('char', { length: 64 })
  hash: string;
}

/** What the service said about a claim at one moment, with the facts it said it from. Append-only. */
@Entity('claim_assessment')
export class ClaimAssessmentRow {
  @PrimaryColumn('uuid')
  id: string;

  @Column('uuid')
  tenantId: string;

  @Column('uuid')
  claimId: string;

  @Column('jsonb')
  facts: object;

  @Column('char', { length: 64 })
  factsHash: string;

  @Column('jsonb')
  assessment: object;

  @Column('timestamptz', { transformer: instantText })
  madeAt: string;
}

/** What a person decided. A later decision supersedes it; it stays readable. */
@Entity('claim_decision')
export class ClaimDecisionRow {
  @PrimaryColumn('uuid')
  id: string;

  @Column('uuid')
  tenantId: string;

  @Column('uuid')
  claimId: string;

  @Column('integer')
  n: number;

  @Column('uuid')
  assessmentId: string;

  @Column('text')
  outcome: DecisionOutcome;

  @Column('text')
  state: 'awaiting second person' | 'standing' | 'sent back' | 'superseded';

  @Column('jsonb')
  body: DecisionBody;

  @Column('bigint', { transformer: exactNumber })
  totalMinor: number;

  @Column('text', { nullable: true })
  reasonCode: string | null;

  @Column('text', { nullable: true })
  words: string | null;

  @Column('uuid')
  decidedBy: string;

  @Column('timestamptz', { transformer: instantText })
  decidedAt: string;

  @Column('uuid', { nullable: true })
  confirmedBy: string | null;

  @Column('timestamptz', { nullable: true, transformer: instantText })
  confirmedAt: string | null;
}

/** The parts of a decision that are more than an outcome and a sum. */
export interface DecisionBody {
  readonly remedies: readonly Remedy[];
  readonly overrides: boolean;
  /** Explanation by subject, where the decision names what was the matter. */
  readonly explanations?: Readonly<Record<string, string>>;
  readonly toRetailer?: WordsToRetailer;
  readonly decidedByName: string;
  readonly confirmedByName?: string;
  readonly sentBackBecause?: string;
}

/** A question to somebody outside the desk, and the answer. */
@Entity('information_request')
export class InformationRequestRow {
  @PrimaryColumn('uuid')
  id: string;

  @Column('uuid')
  tenantId: string;

  @Column('uuid')
  claimId: string;

  @Column('text')
  asked: string;

  @Column('text')
  ofParty: 'crew' | 'retailer' | 'maker' | 'carrier' | 'customer';

  @Column('text')
  askedBy: string;

  @Column('timestamptz', { transformer: instantText })
  askedAt: string;

  @Column('text', { nullable: true })
  answer: string | null;

  @Column('text', { nullable: true })
  answeredBy: string | null;

  @Column('timestamptz', { nullable: true, transformer: instantText })
  answeredAt: string | null;
}

/** The remedy was given: what was paid, under which reference. One per decision. */
@Entity('settlement')
export class SettlementRow {
  @PrimaryColumn('uuid')
  id: string;

  @Column('uuid')
  tenantId: string;

  @Column('uuid')
  claimId: string;

  @Column('uuid')
  decisionId: string;

  @Column('bigint', { transformer: exactNumber })
  amountMinor: number;

  @Column('char', { length: 3 })
  currency: string;

  @Column('text')
  reference: string;

  @Column('text')
  settledBy: string;

  @Column('timestamptz', { transformer: instantText })
  settledAt: string;
}

/** What this module stores. */
export const CLAIMS_ENTITIES = [
  ClaimRow,
  ClaimEventRow,
  ClaimAssessmentRow,
  ClaimDecisionRow,
  InformationRequestRow,
  SettlementRow,
  ...CLOCK_ENTITIES,
] as const;
