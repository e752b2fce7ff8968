import type { Decimal as DecimalLibrary } from 'decimal.js';
import { finite } from './arithmetic.js';
import { Builtin } from './builtin.js';
import { order } from './compare.js';
import { Decimal, isDecimal } from './decimal.js';
import { isList, type FeelValue } from './kinds.js';
import { Elapsed, Months } from './temporal.js';

type Rounding = DecimalLibrary.Rounding;
type Numbers = readonly [Decimal, Decimal, ...Decimal[]];

/** Digits after the point that decimal128 can keep, and places before it that rounding may reach. */
const MOST_SCALE = 6176;
const LEAST_SCALE = -6111;

/** A number rounded to some digits after the point (before it where negative); null for a scale that no number has. */
export function rounded(x: Decimal, scale: Decimal, mode: Rounding): Decimal | null {
  if (!scale.isInteger() || scale.lessThan(LEAST_SCALE) || scale.greaterThan(MOST_SCALE)) return null;
  const places = scale.toNumber();
  if (places >= 0) return finite(x.toDecimalPlaces(places, mode));
  const unit = new Decimal(10).pow(-places);
  return finite(x.div(unit).toDecimalPlaces(0, mode).times(unit));
}

const ZERO = new Decimal(0);

function rounding(name: string, mode: Rounding, optional: boolean): Builtin {
  return new Builtin(name).with(`n: number, scale: number${optional ? '?' : ''}`, ([n, scale]) =>
    isDecimal(n) ? rounded(n, isDecimal(scale) ? scale : ZERO, mode) : null,
  );
}

/** A function of numbers; what is not finite, or what `work` refuses, is null. */
function numeric(name: string, parameters: string, work: (...numbers: Numbers) => Decimal | boolean | null): Builtin {
  return new Builtin(name).with(parameters, (args) => {
    // Safe: the signature takes numbers only, and `work` reads no more than it names.
    const result = work(...(args as unknown as Numbers));
    return isDecimal(result) ? finite(result) : result;
  });
}

/** A function of a list of numbers, or of numbers side by side; null where one of them is no number. */
function ofNumbers(name: string, work: (numbers: readonly Decimal[]) => FeelValue): Builtin {
  const run = ([list]: readonly FeelValue[]): FeelValue => {
    if (!isList(list)) return null;
    const numbers = list.filter(isDecimal);
    return numbers.length === list.length ? work(numbers) : null;
  };
  return new Builtin(name).with('list: list', run).with('*list', run);
}

/** The smallest or largest of values that have an order among each other. */
function extreme(name: string, sign: 1 | -1): Builtin {
  const run = ([list]: readonly FeelValue[]): FeelValue => {
    if (!isList(list)) return null;
    let best: FeelValue | undefined;
    for (const item of list) {
      const by = best === undefined ? sign : order(item, best);
      if (by === undefined || item === null) return null;
      if (best === undefined || by === sign) best = item;
    }
    return best ?? null;
  };
  return new Builtin(name).with('list: list', run).with('*list', run);
}

function total(numbers: readonly Decimal[]): Decimal {
  return numbers.reduce((sum, number) => sum.plus(number), ZERO);
}

function sorted(numbers: readonly Decimal[]): Decimal[] {
  return numbers.toSorted((a, b) => a.comparedTo(b));
}

function median(numbers: readonly Decimal[]): FeelValue {
  const inOrder = sorted(numbers);
  const [low, high] = [inOrder[Math.ceil(inOrder.length / 2) - 1], inOrder[Math.floor(inOrder.length / 2)]];
  return low && high ? low.plus(high).div(2) : null;
}

/** Sample standard deviation; it needs two values. */
function deviation(numbers: readonly Decimal[]): FeelValue {
  if (numbers.length < 2) return null;
  const mean = total(numbers).div(numbers.length);
  const squares = numbers.map((number) => number.minus(mean).pow(2));
  return total(squares)
    .div(numbers.length - 1)
    .sqrt();
}

/** The most frequent values, the smallest first. */
function mode(numbers: readonly Decimal[]): FeelValue {
  const counts = new Map<string, number>();
  for (const number of numbers) counts.set(number.toFixed(), (counts.get(number.toFixed()) ?? 0) + 1);
  const most = Math.max(...counts.values());
  return sorted([...counts].filter(([, count]) => count === most).map(([text]) => new Decimal(text)));
}

/** Remainder with the sign of the divisor: n − d × floor(n / d). */
function modulo(n: Decimal, d: Decimal): Decimal | null {
  return d.isZero() ? null : n.minus(d.times(n.div(d).floor()));
}

export const NUMBER_FUNCTIONS: readonly Builtin[] = [
  // A fraction in the scale is dropped here, and nowhere else (conformance case 1100, result 002).
  new Builtin('decimal').with('n: number, scale: number', ([n, scale]) =>
    isDecimal(n) && isDecimal(scale) ? rounded(n, scale.trunc(), Decimal.ROUND_HALF_EVEN) : null,
  ),
  rounding('floor', Decimal.ROUND_FLOOR, true),
  rounding('ceiling', Decimal.ROUND_CEIL, true),
  rounding('round up', Decimal.ROUND_UP, false),
  rounding('round down', Decimal.ROUND_DOWN, false),
  rounding('round half up', Decimal.ROUND_HALF_UP, false),
  rounding('round half down', Decimal.ROUND_HALF_DOWN, false),
  numeric('abs', 'n: number', (n) => n.abs())
    .with('n: days and time duration', ([n]) => (n instanceof Elapsed ? new Elapsed(n.seconds.abs()) : null))
    .with('n: years and months duration', ([n]) => (n instanceof Months ? new Months(Math.abs(n.count)) : null)),
  numeric('modulo', 'dividend: number, divisor: number', modulo),
  numeric('sqrt', 'number: number', (n) => (n.isNegative() && !n.isZero() ? null : n.sqrt())),
  numeric('exp', 'number: number', (n) => n.exp()),
  numeric('log', 'number: number', (n) => (n.greaterThan(0) ? n.ln() : null)),
  numeric('even', 'number: number', (n) => n.mod(2).isZero()),
  numeric('odd', 'number: number', (n) => n.mod(2).abs().equals(1)),
  extreme('min', -1),
  extreme('max', 1),
  ofNumbers('sum', (numbers) => (numbers.length === 0 ? null : total(numbers))),
  ofNumbers('mean', (numbers) => (numbers.length === 0 ? null : total(numbers).div(numbers.length))),
  ofNumbers('product', (numbers) =>
    numbers.length === 0 ? null : numbers.reduce((product, number) => product.times(number), new Decimal(1)),
  ),
  ofNumbers('median', (numbers) => (numbers.length === 0 ? null : median(numbers))),
  ofNumbers('stddev', deviation),
  ofNumbers('mode', (numbers) => (numbers.length === 0 ? [] : mode(numbers))),
];
