import { Injectable } from '@nestjs/common';
import { In, type EntityManager } from 'typeorm';
import type { Actor } from '../access/access.contract.js';
import { holidaysOf } from '../platform/calendar/holidays.js';
import { Clock } from '../platform/clock.js';
import { Database } from '../platform/db/database.js';
import { scopeOf } from '../platform/http/caller.js';
import { Refused } from '../platform/http/problems.js';
import { Jobs } from '../platform/jobs/jobs.js';
import { HOLIDAYS_CHANGED, ownHolidays, type HolidayLookup } from './adjudication.contract.js';
import { HolidayOverrideRow } from './store/holiday-override.entity.js';

/** One day or year of a place that the house has something to say about. */
export interface HolidayEntry {
  /** Country, or country with its part. */
  readonly place: string;
  /** ISO date; for a whole year its first day. */
  readonly on: string;
  readonly kind: 'day' | 'whole year';
}

/** A place's public holidays in a year, as this house counts them. */
export interface HolidayYear {
  readonly place: string;
  readonly year: number;
  /** False where neither tables nor the house know the year: business days cannot be counted then. */
  readonly known: boolean;
  readonly days: readonly HolidayOfYear[];
}

export interface HolidayOfYear {
  readonly on: string;
  readonly holiday: boolean;
  readonly from: 'table' | 'house';
  readonly reason?: string;
  readonly setBy?: string;
}

/** Public holidays: well-kept tables, and a house's own word over them. */
@Injectable()
export class HolidaysService {
  constructor(
    private readonly db: Database,
    private readonly jobs: Jobs,
    private readonly clock: Clock,
  ) {}

  /** The holidays of a place as a tenant counts them. */
  async lookup(tx: EntityManager, tenant: string, place: string): Promise<HolidayLookup> {
    const rows = await this.rows(tx, tenant, place);
    return ownHolidays(holidaysOf(place), rows.map(asOwn));
  }

  /** Every holiday of a year, and every day that the house made a business day. */
  year(actor: Actor, place: string, year: number): Promise<HolidayYear> {
    return this.db.inTenant(scopeOf(actor), async (tx) => {
      const rows = await this.rows(tx, actor.tenant, place);
      const lookup = ownHolidays(holidaysOf(place), rows.map(asOwn));
      const first = Temporal.PlainDate.from({ year, month: 1, day: 1 });
      const days = Array.from({ length: first.daysInYear }, (_, index) => first.add({ days: index }));
      const known = days.every((day) => lookup(day) !== 'no data');
      return { place, year, known, days: days.flatMap((day) => dayOf(day, lookup, rows)) };
    });
  }

  /** Sets the house's word on a day or a year, in place of what it said before. Clocks that run are counted anew. */
  set(actor: Actor, entry: HolidayEntry, said: { readonly holiday: boolean; readonly reason: string }): Promise<void> {
    return this.db.inTenant(scopeOf(actor), async (tx) => {
      const row: HolidayOverrideRow = {
        ...keyOf(actor.tenant, entry),
        isHoliday: said.holiday,
        reason: said.reason,
        setBy: actor.name,
        setAt: this.clock.now().toString(),
      };
      await tx.upsert(HolidayOverrideRow, row, ['tenantId', 'country', 'region', 'onDate', 'kind']);
      await this.tell(tx, actor.tenant);
    });
  }

  /** Takes the house's word back; the tables hold again. @throws Refused not-found */
  remove(actor: Actor, entry: HolidayEntry): Promise<void> {
    return this.db.inTenant(scopeOf(actor), async (tx) => {
      const { affected } = await tx.delete(HolidayOverrideRow, keyOf(actor.tenant, entry));
      if (affected !== 1) throw new Refused('not-found', 'The house has said nothing about this day.');
      await this.tell(tx, actor.tenant);
    });
  }

  private tell(tx: EntityManager, tenant: string): Promise<void> {
    return this.jobs.enqueue(tx, HOLIDAYS_CHANGED, { tenant }, { once: tenant });
  }

  /** Entries for a place: those of its country, and those of its own part. */
  private rows(tx: EntityManager, tenant: string, place: string): Promise<HolidayOverrideRow[]> {
    const { country, region } = placeOf(place);
    const regions = region === '' ? [''] : ['', region];
    return tx.find(HolidayOverrideRow, {
      where: { tenantId: tenant, country, region: In(regions) },
      order: { onDate: 'ASC' },
    });
  }
}

function placeOf(place: string): { readonly country: string; readonly region: string } {
  const [country = '', region = ''] = place.split('-', 2);
  return { country, region };
}

function keyOf(
  tenantId: string,
  { place, on, kind }: HolidayEntry,
): Pick<HolidayOverrideRow, 'tenantId' | 'country' | 'region' | 'onDate' | 'kind'> {
  return { tenantId, ...placeOf(place), onDate: on, kind };
}

function asOwn({ region, onDate, kind, isHoliday }: HolidayOverrideRow): Parameters<typeof ownHolidays>[1][number] {
  return { region, on: onDate, kind, holiday: isHoliday };
}

function dayOf(day: Temporal.PlainDate, lookup: HolidayLookup, rows: readonly HolidayOverrideRow[]): HolidayOfYear[] {
  const on = day.toString();
  const own = rows.filter(({ onDate, kind }) => kind === 'day' && onDate === on);
  const said = own.find(({ region }) => region !== '') ?? own[0];
  if (said !== undefined) {
    return [{ on, holiday: said.isHoliday, from: 'house', reason: said.reason, setBy: said.setBy }];
  }
  return lookup(day) === true ? [{ on, holiday: true, from: 'table' }] : [];
}
