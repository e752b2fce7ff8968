import { Decimal, isDecimal } from './decimal.js';
import type { FeelValue } from './kinds.js';
import {
  Clock,
  clockPlusSeconds,
  Day,
  dayPlusMonths,
  dayPlusSeconds,
  Elapsed,
  inUtc,
  Moment,
  momentPlusSeconds,
  Months,
  NANOS_PER_SECOND,
} from './temporal.js';

export type ArithmeticSign = '+' | '-' | '*' | '/' | '**';

/** Arithmetic on two known values. Null where the kinds do not go together, by zero, and outside of what can be shown. */
export function calculate(sign: ArithmeticSign, a: FeelValue, b: FeelValue): FeelValue {
  if (isDecimal(a) && isDecimal(b)) return NUMBER_ARITHMETIC[sign](a, b);
  switch (sign) {
    case '+':
      return sum(a, b) ?? sum(b, a) ?? (typeof a === 'string' && typeof b === 'string' ? a + b : null);
    case '-':
      return difference(a, b);
    case '*':
      return scaled(a, b) ?? scaled(b, a);
    case '/':
      return quotient(a, b);
    case '**':
      return null;
  }
}

/** The value with its sign turned: of numbers and durations; null of anything else. */
export function negate(value: FeelValue): FeelValue {
  if (isDecimal(value)) return value.isZero() ? value : value.negated();
  if (value instanceof Elapsed) return new Elapsed(value.seconds.negated());
  if (value instanceof Months) return new Months(value.count === 0 ? 0 : -value.count);
  return null;
}

/** A number as the language knows it: finite and without a negative zero; null otherwise. */
export function finite(value: Decimal): Decimal | null {
  if (!value.isFinite()) return null;
  return value.isZero() && value.isNegative() ? value.abs() : value;
}

/** Arithmetic on two numbers. Zero is never negative, so that it is one value. */
export const NUMBER_ARITHMETIC: Readonly<Record<ArithmeticSign, (a: Decimal, b: Decimal) => Decimal | null>> = {
  '+': (a, b) => a.plus(b),
  '-': (a, b) => a.minus(b),
  '*': (a, b) => (a.isZero() || b.isZero() ? ZERO : a.times(b)),
  '/': (a, b) => (b.isZero() ? null : a.isZero() ? ZERO : a.div(b)),
  '**': (a, b) => finite(a.pow(b)),
};
const ZERO = new Decimal(0);

/** `a + b` where b is a duration; null otherwise. */
function sum(a: FeelValue, b: FeelValue): FeelValue {
  if (b instanceof Months) {
    if (a instanceof Months) return wholeMonths(new Decimal(a.count).plus(b.count));
    if (a instanceof Day) return dayPlusMonths(a, b.count) ?? null;
    if (!(a instanceof Moment)) return null;
    const day = dayPlusMonths(a.day, b.count);
    return day ? new Moment(day, a.clock) : null;
  }
  if (!(b instanceof Elapsed)) return null;
  if (a instanceof Elapsed) return new Elapsed(a.seconds.plus(b.seconds));
  if (a instanceof Day) return dayPlusSeconds(a, b.seconds) ?? null;
  if (a instanceof Moment) return momentPlusSeconds(a, b.seconds) ?? null;
  return a instanceof Clock ? clockPlusSeconds(a, b.seconds) : null;
}

function difference(a: FeelValue, b: FeelValue): FeelValue {
  if (b instanceof Months || b instanceof Elapsed) return sum(a, negate(b));
  if (a instanceof Clock && b instanceof Clock) {
    return (a.zone === undefined) === (b.zone === undefined) ? clockDifference(a, b) : null;
  }
  if (a instanceof Day && b instanceof Day) return new Elapsed(new Decimal(a.epochDay - b.epochDay).times(86_400));
  const [x, y] = [asMoment(a), asMoment(b)];
  if (!x || !y || (x.zone === undefined) !== (y.zone === undefined)) return null;
  const [from, to] = [inUtc(y), inUtc(x)];
  if (!from || !to) return null;
  const nanos = new Decimal(to.nanos - from.nanos).div(NANOS_PER_SECOND);
  return new Elapsed(new Decimal(to.day - from.day).times(86_400).plus(nanos));
}

/** A date beside a date-time counts as its midnight in UTC (OMG DMN 1.5, 10.3.2.3.6). */
function asMoment(value: FeelValue): Moment | undefined {
  if (value instanceof Moment) return value;
  return value instanceof Day ? new Moment(value, new Clock(0, 0)) : undefined;
}

function clockDifference(a: Clock, b: Clock): Elapsed {
  const day = new Day(0);
  const [x, y] = [inUtc(new Moment(day, a)), inUtc(new Moment(day, b))];
  const nanos = x && y ? (x.day - y.day) * 86_400 * NANOS_PER_SECOND + x.nanos - y.nanos : a.nanos - b.nanos;
  return new Elapsed(new Decimal(nanos).div(NANOS_PER_SECOND));
}

function scaled(duration: FeelValue, by: FeelValue): FeelValue {
  if (!isDecimal(by)) return null;
  if (duration instanceof Elapsed) return new Elapsed(duration.seconds.times(by));
  return duration instanceof Months ? wholeMonths(by.times(duration.count)) : null;
}

function quotient(a: FeelValue, b: FeelValue): FeelValue {
  if (a instanceof Elapsed) {
    if (isDecimal(b)) return b.isZero() ? null : new Elapsed(a.seconds.div(b));
    return b instanceof Elapsed && !b.seconds.isZero() ? a.seconds.div(b.seconds) : null;
  }
  if (!(a instanceof Months)) return null;
  if (isDecimal(b)) return b.isZero() ? null : wholeMonths(new Decimal(a.count).div(b));
  return b instanceof Months && b.count !== 0 ? new Decimal(a.count).div(b.count) : null;
}

/** Whole months, the fraction dropped; null beyond what counts exactly. */
function wholeMonths(count: Decimal): Months | null {
  const whole = count.trunc().toNumber();
  return Number.isSafeInteger(whole) ? new Months(whole === 0 ? 0 : whole) : null;
}
