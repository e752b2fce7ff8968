import { Decimal } from './decimal.js';
import { Clock, Day, Elapsed, Moment, Months, NANOS_PER_SECOND, offsetSeconds, type Zone } from './temporal.js';

/** Reading of dates, times and durations as text, in the lexical forms of XML Schema that FEEL builds on. */

const DATE = /^(-?)(\d{4}|[1-9]\d{4,8})-(\d{2})-(\d{2})$/;
const TIME =
  /^(\d{2}):(\d{2}):(\d{2})(?:\.(\d+))?(Z|[+-]\d{2}:\d{2}(?::\d{2})?|@[A-Za-z_]+(?:[/+-][A-Za-z0-9_+-]+)*)?$/;
const MONTHS = /^(-?)P(?:(\d+)Y)?(?:(\d+)M)?$/;
const ELAPSED = /^(-?)P(?:(\d+)D)?(?:T(?:(\d+)H)?(?:(\d+)M)?(?:(\d+(?:\.\d*)?)S)?)?$/;
/** Farthest offset from UTC, in hours, as in XML Schema. */
const MOST_OFFSET_HOURS = 18;

/** A date, years of four to nine digits and a sign for years before 1; undefined where the text is none. */
export function readDay(text: string): Day | undefined {
  const parts = DATE.exec(text);
  if (!parts) return undefined;
  const year = Number(parts[2]) * (parts[1] === '-' ? -1 : 1);
  return Day.of(year, Number(parts[3]), Number(parts[4]));
}

/** A time of day; 24:00:00 is read as the midnight at the end of a day, which `readMoment` moves to the next day. */
export function readClock(text: string): Clock | undefined {
  const read = clockParts(text);
  return read && new Clock(read.endOfDay ? 0 : read.nanos, read.zone);
}

function clockParts(text: string): { nanos: number; zone: Zone | undefined; endOfDay: boolean } | undefined {
  const parts = TIME.exec(text);
  if (!parts) return undefined;
  const [hours, minutes, seconds] = [Number(parts[1]), Number(parts[2]), Number(parts[3])];
  const fraction = Number((parts[4] ?? '').slice(0, 9).padEnd(9, '0'));
  const endOfDay = hours === 24 && minutes === 0 && seconds === 0 && fraction === 0;
  if ((hours > 23 && !endOfDay) || minutes > 59 || seconds > 59) return undefined;
  const zone = parts[5] === undefined ? undefined : readZone(parts[5]);
  if (parts[5] !== undefined && zone === undefined) return undefined;
  return { nanos: ((hours * 60 + minutes) * 60 + seconds) * NANOS_PER_SECOND + fraction, zone, endOfDay };
}

function readZone(text: string): Zone | undefined {
  if (text === 'Z') return 0;
  if (text.startsWith('@')) {
    const name = text.slice(1);
    return offsetSeconds(name, new Day(0), 0) === undefined ? undefined : name;
  }
  const [hours = 0, minutes = 0, seconds = 0] = text.slice(1).split(':').map(Number);
  if (hours > MOST_OFFSET_HOURS || minutes > 59 || seconds > 59) return undefined;
  const size = (hours * 60 + minutes) * 60 + seconds;
  return text.startsWith('-') && size > 0 ? -size : size;
}

/** A date-time, or a date alone for its midnight. */
export function readMoment(text: string): Moment | undefined {
  const at = text.indexOf('T');
  const day = readDay(at < 0 ? text : text.slice(0, at));
  if (!day) return undefined;
  if (at < 0) return new Moment(day, new Clock(0));
  const read = clockParts(text.slice(at + 1));
  if (!read) return undefined;
  return read.endOfDay
    ? new Moment(new Day(day.epochDay + 1), new Clock(0, read.zone))
    : new Moment(day, new Clock(read.nanos, read.zone));
}

/** A duration of either kind: P1Y2M, P3DT4H5M6.7S, with a minus in front for going back. */
export function readDuration(text: string): Months | Elapsed | undefined {
  const months = MONTHS.exec(text);
  if (months && (months[2] ?? months[3]) !== undefined) {
    const count = Number(months[2] ?? 0) * 12 + Number(months[3] ?? 0);
    return Number.isSafeInteger(count) ? new Months(months[1] === '-' && count > 0 ? -count : count) : undefined;
  }
  const parts = ELAPSED.exec(text);
  if (!parts || text.endsWith('T') || text.endsWith('P')) return undefined;
  const [days, hours, minutes, seconds] = parts.slice(2).map((part) => new Decimal(numberText(part)));
  if (!days || !hours || !minutes || !seconds) return undefined;
  const total = days.times(24).plus(hours).times(60).plus(minutes).times(60).plus(seconds);
  return new Elapsed(parts[1] === '-' && !total.isZero() ? total.negated() : total);
}

function numberText(part: string | undefined): string {
  return part === undefined ? '0' : part.replace(/\.$/, '');
}

/** What follows @ in quotes: a date, time, date-time or duration; undefined where it is none of them. */
export function readTemporal(text: string): Day | Clock | Moment | Months | Elapsed | undefined {
  return readDay(text) ?? readClock(text) ?? (text.includes('T') ? readMoment(text) : undefined) ?? readDuration(text);
}
