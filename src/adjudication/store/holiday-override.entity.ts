import { Column, Entity, PrimaryColumn } from 'typeorm';
import { instantText } from '../../platform/db/column-transformers.js';

/** A house's own word on one day, or on the first day of a year for the whole year, of a country or a part of it. */
@Entity('holiday_override')
export class HolidayOverrideRow {
  @PrimaryColumn('uuid')
  tenantId: string;

  @PrimaryColumn('char', { length: 2 })
  country: string;

  /** Empty for the whole country. */
  @PrimaryColumn('text')
  region: string;

  @PrimaryColumn('date')
  onDate: string;

  @PrimaryColumn('text')
  kind: 'day' | 'whole year';

  @Column('boolean')
  isHoliday: boolean;

  @Column('text')
  reason: string;

  @Column('text')
  setBy: string;

  @Column('timestamptz', { transformer: instantText })
  setAt: string;
}

/** What this module stores. */
export const ADJUDICATION_ENTITIES = [HolidayOverrideRow] as const;
