import { Column, PrimaryColumn } from 'typeorm';
import { instantText } from '../db/column-transformers.js';

/**
 * One version of a document that people write, review and publish: a checklist, an evidence model, a policy. Once published it
 * never changes; the database refuses it. `edit` counts the changes of a draft.
 */
export abstract class DocumentVersionRow {
  @PrimaryColumn('uuid')
  id: string;

  @Column('uuid')
  tenantId: string;

  @Column('text')
  code: string;

  @Column('integer')
  version: number;

  @Column('text')
  title: string;

  @Column('jsonb')
  body: object;

  @Column('char', { length: 64 })
  hash: string;

  @Column('integer', { default: 1 })
  edit: number;

  /** Absent where the service itself brought the document along. */
  @Column('uuid', { nullable: true })
  createdBy: string | null;

  @Column('timestamptz', { default: () => 'now()', transformer: instantText })
  createdAt: string;

  @Column('timestamptz', { nullable: true, transformer: instantText })
  publishedAt: string | null;

  @Column('uuid', { nullable: true })
  publishedBy: string | null;
}

/** What a list says of a version; the document itself is left out. */
export type DocumentVersionSummary = Omit<DocumentVersionRow, 'body'>;
