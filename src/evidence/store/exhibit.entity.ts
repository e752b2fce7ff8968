import { Column, Entity, PrimaryColumn } from 'typeorm';
import { exactNumber, instantText } from '../../platform/db/column-transformers.js';
import type { ExhibitState, PhotoMediaType, PhotoReading, Sender } from '../evidence.contract.js';

/** One photo tied to an inspection item. The original's hash and receipt never change; what was read from it may be made again. */
@Entity('exhibit')
export class ExhibitRow {
  /** Made by the sender, so that sending again is safe. */
  @PrimaryColumn('uuid')
  id: string;

  @Column('uuid')
  tenantId: string;

  @Column('uuid')
  visitId: string;

  @Column('uuid')
  inspectionId: string;

  @Column('text')
  item: string;

  @Column('text')
  shows: string;

  @Column('char', { length: 64 })
  sha256: string;

  @Column('bigint', { transformer: exactNumber })
  bytes: number;

  @Column('text')
  mediaType: PhotoMediaType;

  @Column('text', { nullable: true })
  fileName: string | null;

  @Column('timestamptz', { transformer: instantText })
  receivedAt: string;

  @Column('jsonb')
  receivedBy: Sender;

  @Column('jsonb', { nullable: true })
  reading: PhotoReading | null;

  @Column('text')
  state: ExhibitState;

  @Column('text', { nullable: true })
  failure: string | null;

  @Column('timestamptz', { nullable: true, transformer: instantText })
  withdrawnAt: string | null;

  @Column('text', { nullable: true })
  withdrawnBy: string | null;
}

/** One picture made from an original, kept by its own hash. */
@Entity('exhibit_rendition')
export class ExhibitRenditionRow {
  @PrimaryColumn('uuid')
  exhibitId: string;

  @PrimaryColumn('integer')
  size: number;

  @Column('uuid')
  tenantId: string;

  @Column('uuid')
  visitId: string;

  @Column('char', { length: 64 })
  sha256: string;

  @Column('text')
  mediaType: string;

  @Column('integer')
  width: number;

  @Column('integer')
  height: number;

  @Column('bigint', { transformer: exactNumber })
  bytes: number;

  @Column('timestamptz', { default: () => 'now()', transformer: instantText })
  madeAt: string;
}
