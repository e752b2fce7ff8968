import { isDecimal } from './decimal.js';
import { FeelFunction, isContext, isList, kindOf, Range, type Context, type FeelValue } from './kinds.js';
import { Clock, Day, Elapsed, inUtc, Moment, Months, offsetSeconds } from './temporal.js';

export type ComparisonSign = '<' | '<=' | '>' | '>=' | '=' | '!=';

/**
 * Equality without coercion. Null equals only null; values of different kinds, and zoned times beside unzoned ones, are
 * neither equal nor unequal: null.
 */
export function equal(a: FeelValue, b: FeelValue): boolean | null {
  if (a === b) return true;
  if (a === null || b === null) return false;
  if (isDecimal(a)) return isDecimal(b) ? a.equals(b) : null;
  if (typeof a === 'string' || typeof a === 'boolean') return typeof a === typeof b ? false : null;
  if (a instanceof Day) return b instanceof Day ? a.epochDay === b.epochDay : null;
  if (isList(a)) return isList(b) ? equalLists(a, b) : null;
  if (isContext(a)) return isContext(b) ? equalContexts(a, b) : null;
  if (a instanceof Range) return b instanceof Range ? equalRanges(a, b) : null;
  if (a instanceof FeelFunction) return b instanceof FeelFunction ? false : null;
  if (isEmptyDuration(a) && isEmptyDuration(b)) return true;
  if (kindOf(a) !== kindOf(b)) return null;
  const by = order(a, b);
  return by === undefined ? null : by === 0;
}

function isEmptyDuration(value: FeelValue): boolean {
  return (value instanceof Elapsed && value.seconds.isZero()) || (value instanceof Months && value.count === 0);
}

function equalLists(a: readonly FeelValue[], b: readonly FeelValue[]): boolean {
  return a.length === b.length && a.every((item, i) => equal(item, b[i] ?? null) === true);
}

function equalContexts(a: Context, b: Context): boolean {
  if (a.size !== b.size) return false;
  for (const [name, value] of a) {
    const other = b.get(name);
    if (other === undefined || equal(value, other) !== true) return false;
  }
  return true;
}

function equalRanges(a: Range, b: Range): boolean {
  return (
    a.bounds.sign === b.bounds.sign &&
    a.bounds.lowOpen === b.bounds.lowOpen &&
    a.bounds.highOpen === b.bounds.highOpen &&
    equal(a.low, b.low) === true &&
    equal(a.high, b.high) === true
  );
}

/** Order of two values of one kind as −1, 0 or 1; undefined where they have none. */
export function order(a: FeelValue, b: FeelValue): number | undefined {
  if (isDecimal(a)) return isDecimal(b) ? a.comparedTo(b) : undefined;
  if (a instanceof Day) return b instanceof Day ? Math.sign(a.epochDay - b.epochDay) : undefined;
  if (typeof a === 'string') return typeof b === 'string' ? compareText(a, b) : undefined;
  if (a instanceof Moment) return b instanceof Moment ? orderMoments(a, b) : undefined;
  if (a instanceof Clock) return b instanceof Clock ? orderClocks(a, b) : undefined;
  if (a instanceof Elapsed) return b instanceof Elapsed ? a.seconds.comparedTo(b.seconds) : undefined;
  if (a instanceof Months) return b instanceof Months ? Math.sign(a.count - b.count) : undefined;
  return undefined;
}

function compareText(a: string, b: string): number {
  return a < b ? -1 : a > b ? 1 : 0;
}

function orderMoments(a: Moment, b: Moment): number | undefined {
  if ((a.zone === undefined) !== (b.zone === undefined)) return undefined;
  const [x, y] = [inUtc(a), inUtc(b)];
  if (!x || !y) return undefined;
  return Math.sign(x.day - y.day) || Math.sign(x.nanos - y.nanos);
}

function orderClocks(a: Clock, b: Clock): number | undefined {
  if ((a.zone === undefined) !== (b.zone === undefined)) return undefined;
  const [x, y] = [clockInUtc(a), clockInUtc(b)];
  return x === undefined || y === undefined ? undefined : Math.sign(x - y);
}

/** A time in a named zone has no day; the zone's offset on 1970-01-01 stands for it. */
function clockInUtc(clock: Clock): number | undefined {
  const offset = clock.zone === undefined ? 0 : offsetSeconds(clock.zone, new Day(0), clock.nanos);
  return offset === undefined ? undefined : clock.nanos - offset * 1e9;
}

/** Result of a comparison: null where the values have no order, or are of kinds that cannot be equal. */
export function compareKnown(sign: ComparisonSign, a: FeelValue, b: FeelValue): boolean | null {
  if (sign === '=') return equal(a, b);
  if (sign === '!=') {
    const same = equal(a, b);
    return same === null ? null : !same;
  }
  const by = order(a, b);
  if (by === undefined) return null;
  switch (sign) {
    case '<':
      return by < 0;
    case '<=':
      return by <= 0;
    case '>':
      return by > 0;
    case '>=':
      return by >= 0;
  }
}

/** Whether a value lies in a range; null where it has no order with an end, or an end is null. */
export function inRange(value: FeelValue, range: Range): boolean | null {
  const { low, high, bounds } = range;
  if (bounds.sign === '!=') return compareKnown('!=', value, low);
  if (bounds.sign === '=') return compareKnown('=', value, low);
  const above = bounds.sign?.startsWith('<') ? true : compareKnown(bounds.lowOpen ? '>' : '>=', value, low);
  const below = bounds.sign?.startsWith('>') ? true : compareKnown(bounds.highOpen ? '<' : '<=', value, high);
  if (above === null || below === null) return null;
  return above && below;
}

/** Whether a value meets what stands on the right of `in`: equals it, lies in it, or is among it. */
export function meets(value: FeelValue, target: FeelValue): boolean | null {
  if (target instanceof Range) return inRange(value, target);
  if (!isList(target)) return equal(value, target);
  if (isList(value) && equal(value, target) === true) return true;
  return target.some((item) => (item instanceof Range ? inRange(value, item) === true : equal(value, item) === true));
}
