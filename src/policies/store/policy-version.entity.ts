import { Column, Entity } from 'typeorm';
import { DocumentVersionRow } from '../../platform/documents/document-version.entity.js';

/** One version of a policy, with the place it was written for and the day from which it governs. */
@Entity('policy_version')
export class PolicyVersionRow extends DocumentVersionRow {
  @Column('text')
  jurisdiction: string;

  @Column('date')
  effectiveFrom: string;
}

/** Every entity of this module, for the data source. */
export const POLICY_ENTITIES = [PolicyVersionRow];
