import { Column, Entity, PrimaryColumn, VersionColumn } from 'typeorm';
import { exactNumber, instantText } from '../../platform/db/column-transformers.js';
import type { Component, Family } from '../../kernel/vocabulary.js';

/** A product model. Its parts and warranty terms are rows of their own. */
@Entity('model')
export class ModelRow {
  @PrimaryColumn('uuid')
  id: string;

  @Column('uuid')
  tenantId: string;

  @Column('text')
  sku: string;

  @Column('text')
  title: string;

  @Column('text')
  family: Family;

  @Column('text')
  maker: string;

  @Column('integer')
  grossGrams: number;

  @Column('integer')
  netGrams: number;

  @Column('text')
  serialPattern: string;

  @Column('char', { length: 3 })
  currency: string;

  @Column('bigint', { transformer: exactNumber })
  unitCostMinor: number;

  @Column('bigint', { transformer: exactNumber })
  unitFreightMinor: number;

  @Column('bigint', { transformer: exactNumber })
  visitCostMinor: number;

  @Column('integer')
  salvageBp: number;

  @Column('text')
  checklist: string;

  @Column('text')
  evidenceModel: string;

  @VersionColumn({ default: 1 })
  version: number;

  @Column('timestamptz', { default: () => 'now()', transformer: instantText })
  createdAt: string;

  @Column('timestamptz', { default: () => 'now()', transformer: instantText })
  updatedAt: string;
}

/** One node of a model's component tree. */
@Entity('model_part')
export class ModelPartRow {
  @PrimaryColumn('uuid')
  modelId: string;

  @PrimaryColumn('text')
  number: string;

  @Column('uuid')
  tenantId: string;

  @Column('integer')
  position: number;

  @Column('text')
  title: string;

  @Column('text')
  component: Component;

  @Column('text', { nullable: true })
  parent: string | null;

  @Column('integer')
  pieces: number;

  @Column('bigint', { transformer: exactNumber })
  priceMinor: number;

  @Column('bigint', { transformer: exactNumber })
  freightMinor: number;

  @Column('integer')
  massGrams: number;

  @Column('boolean')
  customerFits: boolean;

  @Column('integer')
  failsAgainBp: number;

  @Column('boolean', { nullable: true })
  inStock: boolean | null;

  @Column('boolean')
  isSpare: boolean;
}

/** What the maker promises for one component of a model. */
@Entity('model_warranty')
export class ModelWarrantyRow {
  @PrimaryColumn('uuid')
  modelId: string;

  @PrimaryColumn('text')
  component: Component;

  @Column('uuid')
  tenantId: string;

  @Column('integer')
  fullMonths: number;

  @Column('integer')
  proRataMonths: number;
}

/** Every entity of this module, for the data source. */
export const CATALOGUE_ENTITIES = [ModelRow, ModelPartRow, ModelWarrantyRow];
