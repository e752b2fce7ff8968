import { Column, Entity, PrimaryColumn, type ValueTransformer } from 'typeorm';
import { instantText } from '../../platform/db/column-transformers.js';
import type { ClockRecord } from '../domain/clock-watch.js';
import type { Happening } from '../domain/happenings.js';

const instantTexts: ValueTransformer = {
  to: (value: unknown) => value,
  from: (value: readonly Date[]): string[] => value.map((at) => at.toISOString()),
};

/** One clock of a claim, with what was raised of it. */
@Entity('claim_clock')
export class ClaimClockRow implements ClockRecord {
  @PrimaryColumn('uuid')
  id: string;

  @Column('uuid')
  tenantId: string;

  @Column('uuid')
  claimId: string;

  @Column('text')
  clockId: string;

  @Column('integer')
  occurrence: number;

  @Column('text')
  title: string;

  @Column('text')
  ground: string;

  @Column('text')
  source: string;

  @Column('text')
  owedBy: string;

  @Column('text')
  lapse: string;

  @Column('text')
  effect: string;

  @Column('text')
  state: ClockRecord['state'];

  @Column('timestamptz', { nullable: true, transformer: instantText })
  startedAt: string | null;

  @Column('timestamptz', { nullable: true, transformer: instantText })
  pausedAt: string | null;

  @Column('timestamptz', { nullable: true, transformer: instantText })
  stoppedAt: string | null;

  @Column('date', { nullable: true })
  lastDay: string | null;

  @Column('timestamptz', { nullable: true, transformer: instantText })
  endsAt: string | null;

  @Column('timestamptz', { array: true, transformer: instantTexts })
  warnsAt: string[];

  @Column('timestamptz', { array: true, default: '{}', transformer: instantTexts })
  warnedAt: string[];

  @Column('timestamptz', { nullable: true, transformer: instantText })
  missedAt: string | null;

  /** When the watch has to look at it next. */
  @Column('timestamptz', { nullable: true, transformer: instantText })
  nextAt: string | null;

  @Column('timestamptz', { transformer: instantText })
  updatedAt: string;
}

/** Something that happened outside the claim's own steps, as somebody noted it. Append-only; of one kind the newest note counts. */
@Entity('claim_happening')
export class ClaimHappeningRow {
  @PrimaryColumn('uuid')
  claimId: string;

  @PrimaryColumn('integer')
  n: number;

  @Column('uuid')
  tenantId: string;

  @Column('text')
  what: Happening;

  @Column('timestamptz', { transformer: instantText })
  at: string;

  @Column('text', { nullable: true })
  words: string | null;

  @Column('text')
  notedBy: string;

  @Column('timestamptz', { transformer: instantText })
  notedAt: string;
}

export const CLOCK_ENTITIES = [ClaimClockRow, ClaimHappeningRow] as const;
