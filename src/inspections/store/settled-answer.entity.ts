import { Column, Entity, PrimaryColumn } from 'typeorm';
import { instantText } from '../../platform/db/column-transformers.js';
import type { AnswerValue } from '../inspections.contract.js';

/** What an analyst said counts where two phones gave different answers to one check. Never changed; the newest of an item counts. */
@Entity('settled_answer')
export class SettledAnswerRow {
  @PrimaryColumn('uuid', { default: () => 'gen_random_uuid()' })
  id: string;

  @Column('uuid')
  tenantId: string;

  @Column('uuid')
  visitId: string;

  @Column('uuid')
  inspectionId: string;

  @Column('text')
  item: string;

  @Column('jsonb', { nullable: true })
  value: AnswerValue;

  @Column('text')
  words: string;

  /** Id of the newest answer to the item that this inspection held then; 0 where it held none. */
  @Column('bigint')
  upTo: string;

  /** Ids of the facts that did not agree. */
  @Column('uuid', { array: true })
  facts: string[];

  @Column('timestamptz', { transformer: instantText })
  settledAt: string;

  @Column('text')
  settledBy: string;

  @Column('text')
  settledByName: string;
}
