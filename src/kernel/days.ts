/** Dates and deadlines. Everything takes its dates, zones and holidays as arguments; nothing here asks what time it is. */

import { Remembered } from './remembered.js';

export type DayUnit = 'hours' | 'calendar days' | 'business days' | 'months';

/** Which weekdays count as business days: Monday to Friday, or Monday to Saturday (16 CFR 429.0 counts Saturdays). */
export type BusinessWeek = 'monday to friday' | 'monday to saturday';

/** Answers whether a local date is a public holiday at the place. */
export type IsHoliday = (on: Temporal.PlainDate) => boolean;

/** Local date of an instant at a place. @param at RFC 3339 instant @param zone IANA time zone */
export function localDate(at: string, zone: string): Temporal.PlainDate {
  return LOCAL_DATES.of(zone).of(at);
}

/** Reads an RFC 3339 instant. @throws RangeError when it is none */
export function instantOf(at: string): Temporal.Instant {
  return INSTANTS.of(at);
}

/** Order of two instants, RFC 3339 or read: −1 where the first is earlier, 1 where it is later. @throws RangeError where one is none */
export function compareInstants(a: string | Temporal.Instant, b: string | Temporal.Instant): -1 | 0 | 1 {
  const [first, second] = [nanosecondsOf(a), nanosecondsOf(b)];
  if (first === second) return 0;
  return first < second ? -1 : 1;
}

function nanosecondsOf(at: string | Temporal.Instant): bigint {
  return typeof at === 'string' ? NANOSECONDS.of(at) : at.epochNanoseconds;
}

/** As many as the clocks of one claim ask for, each of them many times; instants of different claims are hardly ever the same. */
const MOST_KEPT = 64;

/** Places with a zone of their own, and days on which many claims have something due. */
const MOST_ZONES = 64;
const MOST_DAYS = 1_000;

const INSTANTS = new Remembered(MOST_KEPT, (at: string) => Temporal.Instant.from(at));

const NANOSECONDS = new Remembered(MOST_KEPT, (at: string) => instantOf(at).epochNanoseconds);

const LOCAL_DATES = new Remembered(
  MOST_ZONES,
  (zone: string) => new Remembered(MOST_KEPT, (at: string) => instantOf(at).toZonedDateTimeISO(zone).toPlainDate()),
);

/** Days from one local date to another, negative when `to` is earlier. */
export function daysBetween(from: Temporal.PlainDate, to: Temporal.PlainDate): number {
  return from.until(to, { largestUnit: 'days' }).days;
}

/** Completed months between two dates (31 January to 28 February counts 0). Never negative. */
export function completedMonths(from: Temporal.PlainDate, to: Temporal.PlainDate): number {
  return Math.max(0, from.until(to, { largestUnit: 'months' }).months);
}

export function isBusinessDay(on: Temporal.PlainDate, week: BusinessWeek, isHoliday: IsHoliday): boolean {
  const last = week === 'monday to friday' ? 5 : 6;
  return on.dayOfWeek <= last && !isHoliday(on);
}

/** The n-th business day after a date; the date itself is day 0 and not counted. @param n at least 0 */
export function addBusinessDays(
  from: Temporal.PlainDate,
  n: number,
  week: BusinessWeek,
  isHoliday: IsHoliday,
): Temporal.PlainDate {
  let day = from;
  for (let left = n; left > 0;) {
    day = dayAfter(day);
    if (isBusinessDay(day, week, isHoliday)) left -= 1;
  }
  return day;
}

/** The next date. Inside a month it is written down rather than added up, which counts where days are gone through one by one. */
export function dayAfter(on: Temporal.PlainDate): Temporal.PlainDate {
  return on.day < SHORTEST_MONTH ? new Temporal.PlainDate(on.year, on.month, on.day + 1) : on.add({ days: 1 });
}

const SHORTEST_MONTH = 28;

/** Same day of a later month, clamped to that month's end (31 May + 9 months = 28 or 29 February). */
export function addMonths(from: Temporal.PlainDate, months: number): Temporal.PlainDate {
  return from.add({ months }, { overflow: 'constrain' });
}

/** The last instant of a local date at a place, as the exclusive end: midnight at the start of the next day. Correct across DST. */
export function endOfDay(on: Temporal.PlainDate, zone: string): Temporal.Instant {
  return ENDS_OF_DAYS.of(zone).of(on.year * 10_000 + on.month * 100 + on.day);
}

const ENDS_OF_DAYS = new Remembered(
  MOST_ZONES,
  (zone: string) =>
    new Remembered(MOST_DAYS, (yearMonthDay: number) => {
      const on = new Temporal.PlainDate(
        Math.floor(yearMonthDay / 10_000),
        Math.floor(yearMonthDay / 100) % 100,
        yearMonthDay % 100,
      );
      return dayAfter(on).toZonedDateTime(zone).toInstant();
    }),
);
