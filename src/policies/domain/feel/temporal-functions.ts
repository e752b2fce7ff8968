import { Builtin, whole } from './builtin.js';
import { civilOf, dayOfYear, weekdayOf, weekOfYear } from './calendar.js';
import { Decimal, isDecimal } from './decimal.js';
import type { FeelValue } from './kinds.js';
import { readClock, readDay, readDuration, readMoment } from './read-temporal.js';
import { Clock, Day, Elapsed, Moment, Months, NANOS_PER_SECOND } from './temporal.js';

const WEEKDAYS = 'Monday Tuesday Wednesday Thursday Friday Saturday Sunday'.split(' ');
const MONTH_NAMES = 'January February March April May June July August September October November December'.split(' ');

function dayOf(value: FeelValue | undefined): Day | undefined {
  if (value instanceof Moment) return value.day;
  return value instanceof Day ? value : undefined;
}

function clockFromParts([hour, minute, second, offset]: readonly FeelValue[]): FeelValue {
  const [h, m] = [whole(hour), whole(minute)];
  if (h === undefined || m === undefined || !isDecimal(second)) return null;
  if (h < 0 || h > 23 || m < 0 || m > 59 || second.lessThan(0) || second.greaterThanOrEqualTo(60)) return null;
  const nanos = (h * 60 + m) * 60 * NANOS_PER_SECOND + second.times(NANOS_PER_SECOND).trunc().toNumber();
  return new Clock(nanos, offset instanceof Elapsed ? offset.seconds.toNumber() : undefined);
}

/** A function of a date, or of the date of a date-time. */
function ofDay(name: string, work: (day: Day) => FeelValue): Builtin {
  return new Builtin(name).with('date: date|date and time', ([value]) => {
    const day = dayOf(value);
    return day ? work(day) : null;
  });
}

/** Whole months from one day to another: those that fit in between, counted from the first towards the second. */
function monthsBetween([from, to]: readonly FeelValue[]): FeelValue {
  const [a, b] = [dayOf(from), dayOf(to)];
  if (!a || !b) return null;
  const [x, y] = [civilOf(a.epochDay), civilOf(b.epochDay)];
  const count = (y.year - x.year) * 12 + y.month - x.month;
  if (count > 0 && y.day < x.day) return new Months(count - 1);
  return new Months(count < 0 && y.day > x.day ? count + 1 : count);
}

export const TEMPORAL_FUNCTIONS: readonly Builtin[] = [
  new Builtin('date')
    .with('from: string', ([text]) => readDay(text as string) ?? null)
    .with('from: date|date and time', ([value]) => dayOf(value) ?? null)
    .with('year: number, month: number, day: number', ([year, month, day]) => {
      const [y, m, d] = [whole(year), whole(month), whole(day)];
      return y === undefined || m === undefined || d === undefined ? null : (Day.of(y, m, d) ?? null);
    }),
  new Builtin('time')
    .with('from: string', ([text]) => readClock(text as string) ?? null)
    .with('from: time', ([value = null]) => value)
    .with('from: date and time', ([value]) => (value instanceof Moment ? value.clock : null))
    .with('from: date', () => new Clock(0, 0))
    .with('hour: number, minute: number, second: number, offset: days and time duration??', clockFromParts),
  new Builtin('date and time')
    .with('from: string', ([text]) => readMoment(text as string) ?? null)
    .with('from: date and time', ([value = null]) => value)
    .with('from: date', ([value]) => (value instanceof Day ? new Moment(value, new Clock(0, 0)) : null))
    .with('date: date|date and time, time: time', ([date, time]) => {
      const day = dayOf(date);
      return day && time instanceof Clock ? new Moment(day, time) : null;
    }),
  new Builtin('duration')
    .with('from: string', ([text]) => readDuration(text as string) ?? null)
    .with('from: days and time duration|years and months duration', ([value = null]) => value),
  new Builtin('years and months duration').with('from: date|date and time, to: date|date and time', monthsBetween),
  ofDay('day of year', ({ epochDay }) => new Decimal(dayOfYear(epochDay))),
  ofDay('week of year', ({ epochDay }) => new Decimal(weekOfYear(epochDay))),
  ofDay('day of week', ({ epochDay }) => WEEKDAYS[weekdayOf(epochDay) - 1] ?? null),
  ofDay('month of year', ({ epochDay }) => MONTH_NAMES[civilOf(epochDay).month - 1] ?? null),
];
