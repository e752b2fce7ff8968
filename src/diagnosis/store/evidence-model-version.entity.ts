import { Entity } from 'typeorm';
import { DocumentVersionRow } from '../../platform/documents/document-version.entity.js';

/** One version of an evidence model. */
@Entity('evidence_model_version')
export class EvidenceModelVersionRow extends DocumentVersionRow {}

/** Every entity of this module, for the data source. */
export const DIAGNOSIS_ENTITIES = [EvidenceModelVersionRow];
