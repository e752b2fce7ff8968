import { Builtin } from './builtin.js';
import { order } from './compare.js';
import { Range, type FeelValue } from './kinds.js';

/** The relations between points and ranges of OMG DMN 1.5, table 78. A point counts as a range of one value. */

interface Interval {
  readonly low: FeelValue;
  readonly high: FeelValue;
  readonly lowOpen: boolean;
  readonly highOpen: boolean;
  readonly point: boolean;
}

function intervalOf(value: FeelValue): Interval | undefined {
  if (value === null) return undefined;
  if (!(value instanceof Range)) return { low: value, high: value, lowOpen: false, highOpen: false, point: true };
  const { low, high, bounds } = value;
  return low === null || high === null ? undefined : { low, high, ...bounds, point: false };
}

/** Where a starts beside b: −1 earlier, 0 together, 1 later; an open end starts later than a closed one at the same value. */
function starts(a: Interval, b: Interval): number | undefined {
  const by = order(a.low, b.low);
  return by === 0 ? Number(a.lowOpen) - Number(b.lowOpen) : by;
}

function ends(a: Interval, b: Interval): number | undefined {
  const by = order(a.high, b.high);
  return by === 0 ? Number(b.highOpen) - Number(a.highOpen) : by;
}

/** Where the end of a lies beside the start of b: −1 before it, 0 they touch in one value, 1 they share more. */
function gap(a: Interval, b: Interval): number | undefined {
  const by = order(a.high, b.low);
  return by === 0 && (a.highOpen || b.lowOpen) ? -1 : by;
}

type Relation = (a: Interval, b: Interval) => boolean | undefined;

function is(by: number | undefined, ...wanted: readonly number[]): boolean | undefined {
  return by === undefined ? undefined : wanted.includes(by);
}

function both(a: boolean | undefined, b: boolean | undefined): boolean | undefined {
  return a === undefined || b === undefined ? undefined : a && b;
}

const before: Relation = (a, b) => is(gap(a, b), -1);
const meets: Relation = (a, b) => both(is(order(a.high, b.low), 0), !a.highOpen && !b.lowOpen);
const includes: Relation = (a, b) => both(is(starts(a, b), -1, 0), is(ends(a, b), 0, 1));
const finishes: Relation = (a, b) => both(is(ends(a, b), 0), is(starts(a, b), 0, 1));
const begins: Relation = (a, b) => both(is(starts(a, b), 0), is(ends(a, b), -1, 0));
const coincides: Relation = (a, b) => both(is(starts(a, b), 0), is(ends(a, b), 0));
const overlaps: Relation = (a, b) => both(is(gap(a, b), 0, 1), is(gap(b, a), 0, 1));
const overlapsBefore: Relation = (a, b) => both(both(is(starts(a, b), -1), is(gap(a, b), 0, 1)), is(ends(a, b), -1, 0));
const turned =
  (relation: Relation): Relation =>
  (a, b) =>
    relation(b, a);

function relation(name: string, parameters: readonly [string, string], holds: Relation): Builtin {
  const [first, second] = parameters;
  return new Builtin(name).with(`${first}: any, ${second}: any`, ([x = null, y = null]) => {
    const [a, b] = [intervalOf(x), intervalOf(y)];
    return (a && b && holds(a, b)) ?? null;
  });
}

export const RANGE_FUNCTIONS: readonly Builtin[] = [
  relation('before', ['point1', 'point2'], before),
  relation('after', ['point1', 'point2'], turned(before)),
  relation('meets', ['range1', 'range2'], meets),
  relation('met by', ['range1', 'range2'], turned(meets)),
  relation('overlaps', ['range1', 'range2'], overlaps),
  relation('overlaps before', ['range1', 'range2'], overlapsBefore),
  relation('overlaps after', ['range1', 'range2'], turned(overlapsBefore)),
  relation('finishes', ['point', 'range'], finishes),
  relation('finished by', ['range', 'point'], turned(finishes)),
  relation('includes', ['range', 'point'], includes),
  relation('during', ['point', 'range'], turned(includes)),
  relation('starts', ['point', 'range'], begins),
  relation('started by', ['range', 'point'], turned(begins)),
  relation('coincides', ['point1', 'point2'], coincides),
];
