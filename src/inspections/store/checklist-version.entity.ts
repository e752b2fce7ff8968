import { Entity } from 'typeorm';
import { DocumentVersionRow } from '../../platform/documents/document-version.entity.js';

/** One version of a checklist. */
@Entity('checklist_version')
export class ChecklistVersionRow extends DocumentVersionRow {}
