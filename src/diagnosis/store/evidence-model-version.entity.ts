import { Column, Entity } from 'typeorm';
import { DocumentVersionRow } from '../../platform/documents/document-version.entity.js';

/** One version of an evidence model. */
@Entity('evidence_model_version')
export class EvidenceModelVersionRow extends DocumentVersionRow {
  /** uuid of the person who last changed the draft after it was written; null where nobody did */
  @Column('uuid', { nullable: true })
  changedBy: string | null;

  /** UTC date from which a published version is taken; null: from its publication on. */
  @Column('date', { nullable: true })
  effectiveFrom: string | null;
}

/** Every entity of this module, for the data source. */
export const DIAGNOSIS_ENTITIES = [EvidenceModelVersionRow];
