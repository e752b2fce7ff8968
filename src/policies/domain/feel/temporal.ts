import { addMonths, civilOf, epochDayOf, isCivil, MOST_YEARS } from './calendar.js';
import { Decimal } from './decimal.js';

/** Dates, times, date-times and the two kinds of duration. All are plain values that never change. */

export const NANOS_PER_SECOND = 1_000_000_000;
const NANOS_PER_DAY = 86_400 * NANOS_PER_SECOND;

/** Offset from UTC in seconds, or the name of a time zone. */
export type Zone = number | string;

/** A calendar date as days since 1970-01-01, so that dates compare as whole numbers. */
export class Day {
  constructor(readonly epochDay: number) {}

  /** Reads a date as it travels in facts and cells: YYYY-MM-DD, years 0001 to 9999. */
  static parse(text: string): Day | undefined {
    const parts = /^(\d{4})-(\d{2})-(\d{2})$/.exec(text);
    return parts ? Day.of(Number(parts[1]), Number(parts[2]), Number(parts[3])) : undefined;
  }

  /** The day of a year, month and day; undefined where there is no such day. */
  static of(year: number, month: number, day: number): Day | undefined {
    const civil = { year, month, day };
    return isCivil(civil) ? new Day(epochDayOf(civil)) : undefined;
  }

  toString(): string {
    const { year, month, day } = civilOf(this.epochDay);
    return `${yearText(year)}-${two(month)}-${two(day)}`;
  }
}

/** A time of day in nanoseconds after midnight, with a zone or without one. */
export class Clock {
  constructor(
    readonly nanos: number,
    readonly zone?: Zone,
  ) {}

  /** Time of the day without its zone, as HH:MM:SS and as many digits of the second as are needed. */
  localText(): string {
    const seconds = Math.floor(this.nanos / NANOS_PER_SECOND);
    const fraction = String(this.nanos % NANOS_PER_SECOND)
      .padStart(9, '0')
      .replace(/0+$/, '');
    const whole = `${two(Math.floor(seconds / 3600))}:${two(Math.floor(seconds / 60) % 60)}:${two(seconds % 60)}`;
    return fraction === '' ? whole : `${whole}.${fraction}`;
  }

  toString(): string {
    return this.localText() + zoneText(this.zone);
  }
}

/** A date and a time of day, with a zone or without one. */
export class Moment {
  constructor(
    readonly day: Day,
    readonly clock: Clock,
  ) {}

  get zone(): Zone | undefined {
    return this.clock.zone;
  }

  toString(): string {
    return `${this.day.toString()}T${this.clock.toString()}`;
  }
}

/** Days, hours, minutes and seconds, as exact seconds. */
export class Elapsed {
  constructor(readonly seconds: Decimal) {}

  toString(): string {
    const size = this.seconds.abs();
    const days = size.div(86_400).floor();
    const rest = size.minus(days.times(86_400));
    const hours = rest.div(3600).floor();
    const minutes = rest.minus(hours.times(3600)).div(60).floor();
    const seconds = rest.minus(hours.times(3600)).minus(minutes.times(60));
    const part = (of: Decimal, unit: string): string => (of.isZero() ? '' : `${of.toFixed()}${unit}`);
    const time = part(hours, 'H') + part(minutes, 'M') + part(seconds, 'S');
    const text = `P${part(days, 'D')}${time === '' ? '' : `T${time}`}`;
    return (this.seconds.isNegative() && text !== 'P' ? '-' : '') + (text === 'P' ? 'PT0S' : text);
  }
}

/** Years and months, as whole months. */
export class Months {
  constructor(readonly count: number) {}

  toString(): string {
    const size = Math.abs(this.count);
    const [years, months] = [Math.floor(size / 12), size % 12];
    const text = `P${years === 0 ? '' : `${years}Y`}${months === 0 ? '' : `${months}M`}`;
    return (this.count < 0 ? '-' : '') + (text === 'P' ? 'P0M' : text);
  }
}

/** A date some months later or earlier; undefined beyond the calendar. */
export function dayPlusMonths(day: Day, months: number): Day | undefined {
  const moved = addMonths(day.epochDay, months);
  return moved === undefined ? undefined : new Day(moved);
}

/** A date some time later: whole days, rounded down, so that a date and 25 hours is the next day and minus one hour the day before. */
export function dayPlusSeconds(day: Day, seconds: Decimal): Day | undefined {
  const moved = seconds.div(86_400).floor().toNumber() + day.epochDay;
  return Math.abs(civilOf(moved).year) <= MOST_YEARS ? new Day(moved) : undefined;
}

/** A date-time some exact time later. In a named zone the clock is set by what that zone shows then. */
export function momentPlusSeconds(moment: Moment, seconds: Decimal): Moment | undefined {
  const offset = typeof moment.zone === 'string' ? offsetSeconds(moment.zone, moment.day, moment.clock.nanos) : 0;
  if (offset === undefined) return undefined;
  const utc = shifted(moment.day.epochDay, moment.clock.nanos, seconds.minus(offset));
  if (typeof moment.zone !== 'string') return momentAt(utc, moment.zone);
  const there = offsetAtInstant(moment.zone, utc);
  return there === undefined ? undefined : momentAt(shifted(utc.day, utc.nanos, new Decimal(there)), moment.zone);
}

/** A time of day some exact time later, turning over at midnight. */
export function clockPlusSeconds(clock: Clock, seconds: Decimal): Clock {
  return new Clock(shifted(0, clock.nanos, seconds).nanos, clock.zone);
}

interface DayAndNanos {
  readonly day: number;
  readonly nanos: number;
}

function momentAt({ day, nanos }: DayAndNanos, zone: Zone | undefined): Moment | undefined {
  return Math.abs(civilOf(day).year) <= MOST_YEARS ? new Moment(new Day(day), new Clock(nanos, zone)) : undefined;
}

function shifted(day: number, nanos: number, seconds: Decimal): DayAndNanos {
  const days = seconds.div(86_400).floor();
  const rest = seconds.minus(days.times(86_400)).times(NANOS_PER_SECOND).round().toNumber();
  const total = nanos + rest;
  const carried = Math.floor(total / NANOS_PER_DAY);
  return { day: day + days.toNumber() + carried, nanos: total - carried * NANOS_PER_DAY };
}

/** Day and nanoseconds in UTC of a zoned date-time; of an unzoned one its own; undefined in an unknown zone. */
export function inUtc(moment: Moment): DayAndNanos | undefined {
  const { day, clock } = moment;
  if (clock.zone === undefined) return { day: day.epochDay, nanos: clock.nanos };
  const offset = offsetSeconds(clock.zone, day, clock.nanos);
  return offset === undefined ? undefined : shifted(day.epochDay, clock.nanos, new Decimal(-offset));
}

/** Seconds that a zone is ahead of UTC at a local date and time; undefined for a name that no zone has. */
export function offsetSeconds(zone: Zone, day: Day, nanos: number): number | undefined {
  if (typeof zone === 'number') return zone;
  const { year, month, day: date } = nearYear(civilOf(day.epochDay));
  const seconds = Math.floor(nanos / NANOS_PER_SECOND);
  try {
    const local = new Temporal.PlainDateTime(
      year,
      month,
      date,
      Math.floor(seconds / 3600),
      Math.floor(seconds / 60) % 60,
      seconds % 60,
    );
    return local.toZonedDateTime(zone).offsetNanoseconds / NANOS_PER_SECOND;
  } catch {
    return undefined;
  }
}

function offsetAtInstant(zone: string, { day, nanos }: DayAndNanos): number | undefined {
  const civil = nearYear(civilOf(day));
  try {
    const utc = `${yearText6(civil.year)}-${two(civil.month)}-${two(civil.day)}T${new Clock(nanos).localText()}Z`;
    return Temporal.Instant.from(utc).toZonedDateTimeISO(zone).offsetNanoseconds / NANOS_PER_SECOND;
  } catch {
    return undefined;
  }
}

/** Zones are known for some 270,000 years only; beyond, the rules of the last year with the same length hold. */
function nearYear(civil: ReturnType<typeof civilOf>): ReturnType<typeof civilOf> {
  if (Math.abs(civil.year) <= 200_000) return civil;
  return { ...civil, year: Math.sign(civil.year) * 200_000 + (civil.year % 400) };
}

function yearText6(year: number): string {
  return `${year < 0 ? '-' : '+'}${String(Math.abs(year)).padStart(6, '0')}`;
}

function zoneText(zone: Zone | undefined): string {
  if (zone === undefined) return '';
  if (typeof zone === 'string') return `@${zone}`;
  if (zone === 0) return 'Z';
  const size = Math.abs(zone);
  const seconds = size % 60 === 0 ? '' : `:${two(size % 60)}`;
  return `${zone < 0 ? '-' : '+'}${two(Math.floor(size / 3600))}:${two(Math.floor(size / 60) % 60)}${seconds}`;
}

function yearText(year: number): string {
  return (year < 0 ? '-' : '') + String(Math.abs(year)).padStart(4, '0');
}

function two(n: number): string {
  return String(n).padStart(2, '0');
}
