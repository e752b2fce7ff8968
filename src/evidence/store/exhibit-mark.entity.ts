import { Column, Entity, PrimaryColumn } from 'typeorm';
import { instantText } from '../../platform/db/column-transformers.js';
import type { Corner } from '../domain/mark-region.js';
import type { Sender } from '../evidence.contract.js';

/** A region that somebody marked in a photo. Never changed. */
@Entity('exhibit_mark')
export class ExhibitMarkRow {
  @PrimaryColumn('uuid')
  id: string;

  @Column('uuid')
  tenantId: string;

  @Column('uuid')
  visitId: string;

  @Column('uuid')
  exhibitId: string;

  /** The original that was looked at. */
  @Column('char', { length: 64 })
  photoSha256: string;

  /** Size of the upright photo in pixels. */
  @Column('integer')
  width: number;

  @Column('integer')
  height: number;

  /** How the upright photo was made. */
  @Column('text')
  pipeline: string;

  @Column('jsonb')
  polygon: readonly Corner[];

  @Column('text', { nullable: true })
  says: string | null;

  @Column('timestamptz', { transformer: instantText })
  madeAt: string;

  @Column('jsonb')
  madeBy: Sender;
}

/** That a mark was taken back, by whom and when. Never changed. */
@Entity('exhibit_mark_withdrawal')
export class ExhibitMarkWithdrawalRow {
  @PrimaryColumn('uuid')
  markId: string;

  @Column('uuid')
  tenantId: string;

  @Column('uuid')
  visitId: string;

  @Column('timestamptz', { transformer: instantText })
  withdrawnAt: string;

  @Column('jsonb')
  withdrawnBy: Sender;
}
