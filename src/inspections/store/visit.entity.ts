import { Column, Entity, PrimaryColumn, VersionColumn } from 'typeorm';
import type { Receipt } from '../../kernel/vocabulary.js';
import { exactNumber, instantText } from '../../platform/db/column-transformers.js';
import type { Address, CustodyRecord } from '../inspections.contract.js';

/** One appointment at one address by one crew. */
@Entity('visit')
export class VisitRow {
  @PrimaryColumn('uuid')
  id: string;

  @Column('uuid')
  tenantId: string;

  @Column('uuid')
  retailerId: string;

  @Column('uuid')
  carrierId: string;

  @Column('text')
  orderReference: string;

  @Column('date')
  placedOn: string;

  @Column('char', { length: 3 })
  currency: string;

  @Column('bigint', { transformer: exactNumber })
  priceMinor: number;

  @Column('bigint', { transformer: exactNumber })
  taxMinor: number;

  @Column('bigint', { transformer: exactNumber })
  deliveryMinor: number;

  @Column('jsonb')
  address: Address;

  @Column('text')
  jurisdiction: string;

  @Column('text')
  zone: string;

  @Column('timestamptz', { transformer: instantText })
  windowFrom: string;

  @Column('timestamptz', { transformer: instantText })
  windowTo: string;

  @Column('integer')
  crewSize: number;

  @Column('jsonb', { default: [] })
  custody: readonly CustodyRecord[];

  @Column('text', { nullable: true })
  receipt: Receipt | null;

  @Column('text', { nullable: true })
  receiptWords: string | null;

  @Column('timestamptz', { nullable: true, transformer: instantText })
  deliveredAt: string | null;

  @VersionColumn({ default: 1 })
  version: number;

  @Column('timestamptz', { default: () => 'now()', transformer: instantText })
  createdAt: string;

  @Column('timestamptz', { default: () => 'now()', transformer: instantText })
  updatedAt: string;
}

/** One unit that a visit brings. */
@Entity('visit_unit')
export class VisitUnitRow {
  @PrimaryColumn('uuid')
  id: string;

  @Column('uuid')
  tenantId: string;

  @Column('uuid')
  visitId: string;

  @Column('uuid')
  modelId: string;

  @Column('text')
  serial: string;
}
