import type { FastifyReply } from 'fastify';
import {
  DocumentField,
  InstantField,
  ListField,
  OneOfField,
  TextField,
  UuidField,
  WholeField,
} from '../http/fields.js';
import { setVersion } from '../http/versions.js';
import type { DocumentVersionRow } from './document-version.entity.js';

/** A new version of a document, or the new text of a draft. */
export class DocumentBody {
  @DocumentField({ description: 'The document. Its `id` is the code in the address; the service sets its `version`.' })
  document: Record<string, unknown>;
}

/** What a list says of a version. */
export class DocumentSummary {
  @TextField({ max: 60 })
  code: string;

  @WholeField({ min: 1, max: 2_147_483_647 })
  version: number;

  @TextField({ max: 300 })
  title: string;

  @OneOfField(['draft', 'published'])
  state: string;

  @TextField({ min: 64, max: 64, description: 'SHA-256 of the canonical JSON of the document (RFC 8785).' })
  hash: string;

  @InstantField()
  createdAt: string;

  @UuidField({ optional: true, description: 'Person who wrote it.' })
  createdBy?: string;

  @InstantField({ optional: true })
  publishedAt?: string;

  @UuidField({ optional: true, description: 'Person who published it.' })
  publishedBy?: string;
}

/** One version with its document. */
export class DocumentVersion extends DocumentSummary {
  @DocumentField()
  document: object;
}

/** One page of versions, in order of code and number. */
export class DocumentPage {
  @ListField(() => DocumentSummary, { max: 200 })
  items: DocumentSummary[];

  @TextField({ max: 1000, optional: true, description: 'Cursor of the next page; absent on the last.' })
  next?: string;
}

/** A row as a list shows it. */
export function toDocumentSummary(row: DocumentVersionRow): Readonly<DocumentSummary> {
  return {
    code: row.code,
    version: row.version,
    title: row.title,
    state: row.publishedAt === null ? 'draft' : 'published',
    hash: row.hash,
    createdAt: row.createdAt,
    ...(row.createdBy === null ? {} : { createdBy: row.createdBy }),
    ...(row.publishedAt === null ? {} : { publishedAt: row.publishedAt }),
    ...(row.publishedBy === null ? {} : { publishedBy: row.publishedBy }),
  };
}

/** A row with its document. */
export function toDocumentVersion(row: DocumentVersionRow): DocumentVersion {
  return { ...toDocumentSummary(row), document: row.body };
}

/** Sends a version with its document, and the count of its draft's changes as entity tag. */
export function sendDocument(reply: FastifyReply, row: DocumentVersionRow): DocumentVersion {
  setVersion(reply, row.edit);
  return toDocumentVersion(row);
}
