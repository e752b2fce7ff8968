import type { HolidayLookup } from './claim-clocks.js';

/** A house's own word on a day, or on a whole year, of one country or one part of it. */
export interface OwnHoliday {
  /** Part of the country without the country, such as "CA"; empty for all of it. */
  readonly region: string;
  /** ISO date; for a whole year its first day. */
  readonly on: string;
  readonly kind: 'day' | 'whole year';
  readonly holiday: boolean;
}

/**
 * Tables with a house's own days over them. A day of the part wins over one of the country, and both over the tables. A whole year
 * that is declared takes nothing from the tables: its own days are all the holidays it has, so that a place without tables can be counted.
 * @param own entries for the country and, where there is one, the part
 */
export function ownHolidays(tables: HolidayLookup, own: readonly OwnHoliday[]): HolidayLookup {
  if (own.length === 0) return tables;
  const days = new Map<string, boolean>();
  const years = new Set<number>();
  const partLast = [...own].sort((a, b) => a.region.length - b.region.length);
  for (const { on, kind, holiday } of partLast) {
    if (kind === 'day') days.set(on, holiday);
    else years.add(Number(on.slice(0, 4)));
  }
  return (on) => days.get(on.toString()) ?? (years.has(on.year) ? false : tables(on));
}
