import { Column, Entity, PrimaryColumn } from 'typeorm';
import { instantText } from '../../platform/db/column-transformers.js';
import type { PhoneFactKind, PhoneFactState } from '../phone-facts.contract.js';

/** One phone at one visit, and how far it is known to have counted. */
@Entity('phone')
export class PhoneRow {
  @PrimaryColumn('uuid')
  visitId: string;

  /** Made on the phone when it was first used. */
  @PrimaryColumn('uuid')
  id: string;

  @Column('uuid')
  tenantId: string;

  /** Who sent from it last, as a person or link is called. */
  @Column('text')
  crew: string;

  /** The highest number that the phone says it has given out at this visit. */
  @Column('integer')
  countedTo: number;

  /** Up to this number every fact is here and has been looked at. */
  @Column('integer', { default: 0 })
  takenTo: number;

  /** By how much the phone's clock ran ahead when it last sent; below zero when it ran behind. */
  @Column('integer', { default: 0 })
  clockAheadSeconds: number;

  @Column('timestamptz', { transformer: instantText })
  firstHeardAt: string;

  @Column('timestamptz', { transformer: instantText })
  lastHeardAt: string;

  /** When somebody said that the phone is lost. It is not, where it was heard after that. */
  @Column('timestamptz', { nullable: true, transformer: instantText })
  lostAt: string | null;

  /** Who said so, by name. */
  @Column('text', { nullable: true })
  lostBy: string | null;

  @Column('text', { nullable: true })
  lostBecause: string | null;
}

/** One fact as the phone sent it. Only its state changes. */
@Entity('phone_fact')
export class PhoneFactRow {
  /** Made on the phone. */
  @PrimaryColumn('uuid')
  id: string;

  @Column('uuid')
  tenantId: string;

  @Column('uuid')
  visitId: string;

  @Column('uuid')
  phoneId: string;

  @Column('integer')
  n: number;

  @Column('text')
  kind: PhoneFactKind;

  @Column('uuid', { nullable: true })
  inspectionId: string | null;

  @Column('jsonb')
  body: object;

  /** SHA-256 of the canonical JSON of the fact as it was sent. */
  @Column('text')
  hash: string;

  /** By the clock of the phone. */
  @Column('timestamptz', { transformer: instantText })
  happenedAt: string;

  @Column('timestamptz', { transformer: instantText })
  receivedAt: string;

  @Column('text')
  receivedBy: string;

  @Column('text')
  state: PhoneFactState;

  /** Why it was refused, for people to read. */
  @Column('text', { nullable: true })
  problem: string | null;
}
