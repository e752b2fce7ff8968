import type { FastifyReply } from 'fastify';
import { DocumentSummary, DocumentVersion, toDocumentSummary } from '../../platform/documents/document-version.dto.js';
import { DateField, ListField, TextField } from '../../platform/http/fields.js';
import { setVersion } from '../../platform/http/versions.js';
import type { EvidenceModelVersionRow } from '../store/evidence-model-version.entity.js';

const BEGINS = 'UTC date from which it is taken once it is published. Absent: from its publication on.';

/** When a model that is published begins. */
export class ModelPublicationQuery {
  @DateField({ optional: true, description: `${BEGINS} Today at the earliest.` })
  effectiveFrom?: string;
}

/** What a list says of a version of an evidence model. */
export class EvidenceModelSummary extends DocumentSummary {
  @DateField({ optional: true, description: BEGINS })
  effectiveFrom?: string;
}

/** One version of an evidence model with its document. */
export class EvidenceModelVersion extends DocumentVersion {
  @DateField({ optional: true, description: BEGINS })
  effectiveFrom?: string;
}

/** One page of versions, in order of code and number. */
export class EvidenceModelPage {
  @ListField(() => EvidenceModelSummary, { max: 200 })
  items: EvidenceModelSummary[];

  @TextField({ max: 1000, optional: true, description: 'Cursor of the next page; absent on the last.' })
  next?: string;
}

/** A row as a list shows it. */
export function toModelSummary(row: EvidenceModelVersionRow): Readonly<EvidenceModelSummary> {
  return { ...toDocumentSummary(row), ...(row.effectiveFrom === null ? {} : { effectiveFrom: row.effectiveFrom }) };
}

/** Sends a version with its document, and the count of its draft's changes as entity tag. */
export function sendModel(reply: FastifyReply, row: EvidenceModelVersionRow): EvidenceModelVersion {
  setVersion(reply, row.edit);
  return { ...toModelSummary(row), document: row.body };
}
