import { Column, Entity, PrimaryColumn, PrimaryGeneratedColumn, VersionColumn } from 'typeorm';
import { instantText } from '../../platform/db/column-transformers.js';
import type { AnswerValue, FoundAt } from '../inspections.contract.js';

/** One checklist of one published version, filled in for one unit on one visit. */
@Entity('inspection')
export class InspectionRow {
  /** Made on the phone, so that an inspection can begin without a signal. */
  @PrimaryColumn('uuid')
  id: string;

  @Column('uuid')
  tenantId: string;

  @Column('uuid')
  visitId: string;

  @Column('uuid')
  unitId: string;

  @Column('uuid')
  checklistVersionId: string;

  @Column('integer')
  crewSize: number;

  @Column('timestamptz', { transformer: instantText })
  startedAt: string;

  @Column('timestamptz', { nullable: true, transformer: instantText })
  finishedAt: string | null;

  @Column('text', { nullable: true })
  finishedBy: string | null;

  /** Why it was closed although something is missing. */
  @Column('text', { nullable: true })
  gapsReason: string | null;

  @Column('text', { default: 'unboxing' })
  foundAt: FoundAt;

  @Column('text')
  startedBy: string;

  @VersionColumn({ default: 1 })
  version: number;

  @Column('timestamptz', { default: () => 'now()', transformer: instantText })
  createdAt: string;
}

/** One answer as it was given. Never changed: a later answer to the same item is another row. */
@Entity('inspection_answer')
export class InspectionAnswerRow {
  @PrimaryGeneratedColumn('identity', { type: 'bigint', generatedIdentity: 'ALWAYS' })
  id: string;

  @Column('uuid')
  tenantId: string;

  @Column('uuid')
  inspectionId: string;

  @Column('uuid')
  visitId: string;

  @Column('text')
  item: string;

  @Column('jsonb', { nullable: true })
  value: AnswerValue;

  @Column('text', { nullable: true })
  note: string | null;

  @Column('timestamptz', { transformer: instantText })
  answeredAt: string;

  @Column('text')
  answeredBy: string;

  @Column('timestamptz', { default: () => 'now()', transformer: instantText })
  receivedAt: string;
}

/** A safety stop that an answer raised. */
@Entity('safety_stop')
export class SafetyStopRow {
  @PrimaryColumn('uuid')
  inspectionId: string;

  @PrimaryColumn('text')
  stop: string;

  @Column('uuid')
  tenantId: string;

  @Column('uuid')
  visitId: string;

  @Column('timestamptz', { transformer: instantText })
  raisedAt: string;

  @Column('text')
  raisedBy: string;

  @Column('timestamptz', { nullable: true, transformer: instantText })
  acknowledgedAt: string | null;

  @Column('text', { nullable: true })
  acknowledgedBy: string | null;
}
