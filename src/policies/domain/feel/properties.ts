import { civilOf, weekdayOf } from './calendar.js';
import { Decimal } from './decimal.js';
import { isContext, isList, Range, type FeelValue } from './kinds.js';
import { Clock, Day, Elapsed, Moment, Months, NANOS_PER_SECOND, offsetSeconds } from './temporal.js';

/** Names of the properties that values of the temporal kinds and ranges have. */
export const PROPERTIES = [
  'year',
  'month',
  'day',
  'weekday',
  'hour',
  'minute',
  'second',
  'time offset',
  'timezone',
  'years',
  'months',
  'days',
  'hours',
  'minutes',
  'seconds',
  'start',
  'end',
  'start included',
  'end included',
] as const;

/** The value behind `of.name`; of a list, of each of its items; null where there is none. */
export function propertyOf(of: FeelValue, name: string): FeelValue {
  if (isList(of)) return of.map((item) => propertyOf(item, name));
  if (isContext(of)) return of.get(name) ?? null;
  if (of instanceof Range) return rangeProperty(of, name);
  const number = numberProperty(of, name);
  if (number !== undefined) return new Decimal(number);
  const zone = of instanceof Clock || of instanceof Moment ? of.zone : undefined;
  if (zone === undefined) return null;
  if (name === 'timezone') return typeof zone === 'string' ? zone : null;
  return name === 'time offset' ? offset(of) : null;
}

function offset(of: FeelValue): Elapsed | null {
  const [day, clock] = of instanceof Moment ? [of.day, of.clock] : [new Day(0), of];
  if (!(clock instanceof Clock) || clock.zone === undefined) return null;
  const seconds = offsetSeconds(clock.zone, day, clock.nanos);
  return seconds === undefined ? null : new Elapsed(new Decimal(seconds));
}

function rangeProperty(range: Range, name: string): FeelValue {
  switch (name) {
    case 'start':
      return range.low;
    case 'end':
      return range.high;
    case 'start included':
      return !range.bounds.lowOpen;
    case 'end included':
      return !range.bounds.highOpen;
    default:
      return null;
  }
}

function numberProperty(of: FeelValue, name: string): number | Decimal | undefined {
  if (of instanceof Day) return dayProperty(of, name);
  if (of instanceof Moment) return dayProperty(of.day, name) ?? clockProperty(of.clock, name);
  if (of instanceof Clock) return clockProperty(of, name);
  if (of instanceof Months) {
    if (name === 'years') return Math.trunc(of.count / 12);
    return name === 'months' ? of.count % 12 : undefined;
  }
  return of instanceof Elapsed ? elapsedProperty(of, name) : undefined;
}

function dayProperty(day: Day, name: string): number | undefined {
  switch (name) {
    case 'year':
    case 'month':
    case 'day':
      return civilOf(day.epochDay)[name];
    case 'weekday':
      return weekdayOf(day.epochDay);
    default:
      return undefined;
  }
}

function clockProperty(clock: Clock, name: string): number | Decimal | undefined {
  const seconds = Math.floor(clock.nanos / NANOS_PER_SECOND);
  switch (name) {
    case 'hour':
      return Math.floor(seconds / 3600);
    case 'minute':
      return Math.floor(seconds / 60) % 60;
    case 'second':
      return new Decimal(clock.nanos).div(NANOS_PER_SECOND).mod(60);
    default:
      return undefined;
  }
}

function elapsedProperty({ seconds }: Elapsed, name: string): Decimal | undefined {
  switch (name) {
    case 'days':
      return seconds.div(86_400).trunc();
    case 'hours':
      return seconds.mod(86_400).div(3600).trunc();
    case 'minutes':
      return seconds.mod(3600).div(60).trunc();
    case 'seconds':
      return seconds.mod(60);
    default:
      return undefined;
  }
}
