import { Column, Entity } from 'typeorm';
import { instantText } from '../../platform/db/column-transformers.js';
import { DocumentVersionRow } from '../../platform/documents/document-version.entity.js';

/** One version of a policy, with the place it was written for and the day from which it governs. */
@Entity('policy_version')
export class PolicyVersionRow extends DocumentVersionRow {
  @Column('text')
  jurisdiction: string;

  @Column('date')
  effectiveFrom: string;

  /** First day on which it no longer holds; null: until a later version begins. */
  @Column('date', { nullable: true })
  effectiveTo: string | null;

  @Column('text', { default: 'draft' })
  stage: 'draft' | 'proposed' | 'approved';

  @Column('uuid', { nullable: true })
  approvedBy: string | null;

  @Column('timestamptz', { nullable: true, transformer: instantText })
  approvedAt: string | null;

  /** Content that was approved; the database holds it to the content of the row. */
  @Column('char', { length: 64, nullable: true })
  approvedHash: string | null;
}

/** Every entity of this module, for the data source. */
export const POLICY_ENTITIES = [PolicyVersionRow];
