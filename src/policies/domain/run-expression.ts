import type { Decimal as DecimalLibrary } from 'decimal.js';
import type { Expression, FunctionName } from './syntax.js';
import { Day, Decimal, Unknown, order, sameValue, unknownAmong, type Known, type Value } from './values.js';

/** Looks a fact, parameter or earlier outcome up; answers Unknown where it is not known. */
export type Lookup = (name: string) => Value;

/** A compiled expression. `column` is the value of `?` in a cell. Total: arithmetic on null, or by zero, gives null. */
export type Run = (lookup: Lookup, column?: Value) => Value;

/** Compiles a checked expression to a closure. */
export function compileExpression(expression: Expression): Run {
  switch (expression.kind) {
    case 'number':
      return constant(new Decimal(expression.text));
    case 'text':
      return constant(expression.text);
    case 'boolean':
      return constant(expression.value);
    case 'date':
      return constant(Day.parse(expression.text) ?? null);
    case 'null':
      return constant(null);
    case 'name': {
      const { name } = expression;
      return (lookup) => lookup(name);
    }
    case 'column value':
      return (_, column) => column ?? null;
    case 'negative':
      return numeric([expression.of], ([of]) => of.negated());
    case 'arithmetic':
      return arithmetic(expression);
    case 'comparison':
      return comparison(expression);
    case 'and':
    case 'or':
      return logical(expression);
    case 'if':
      return conditional(expression);
    case 'call':
      return CALLS[expression.name](expression.args);
  }
}

function constant(value: Known): Run {
  return () => value;
}

function arithmetic(expression: Extract<Expression, { kind: 'arithmetic' }>): Run {
  const both = [expression.left, expression.right];
  switch (expression.sign) {
    case '+':
      return numeric(both, ([a, b]) => a.plus(b));
    case '-':
      return numeric(both, ([a, b]) => a.minus(b));
    case '*':
      return numeric(both, ([a, b]) => a.times(b));
    case '/':
      return numeric(both, ([a, b]) => (b.isZero() ? null : a.div(b)));
  }
}

type Numbers = readonly [Decimal, Decimal, ...Decimal[]];

/** Runs on numbers only: an unknown among them keeps the result unknown, a null makes it null. */
function numeric(args: readonly Expression[], work: (numbers: Numbers) => Decimal | null): Run {
  const runs = args.map(compileExpression);
  return (lookup, column) => {
    const values = runs.map((run) => run(lookup, column));
    const unknown = unknownAmong(values);
    if (unknown) return unknown;
    const numbers = values.filter((value): value is Decimal => value instanceof Decimal);
    if (numbers.length < values.length) return null;
    // Safe: `work` reads no more numbers than the checker has counted arguments.
    return work(numbers as unknown as Numbers);
  };
}

function comparison(expression: Extract<Expression, { kind: 'comparison' }>): Run {
  const [left, right] = [compileExpression(expression.left), compileExpression(expression.right)];
  const { sign } = expression;
  return (lookup, column) => {
    const [a, b] = [left(lookup, column), right(lookup, column)];
    if (a instanceof Unknown) return b instanceof Unknown ? a.and(b) : a;
    if (b instanceof Unknown) return b;
    return compareKnown(sign, a, b);
  };
}

/** Result of a comparison of two known values: null where they have no order. */
export function compareKnown(sign: '<' | '<=' | '>' | '>=' | '=' | '!=', a: Known, b: Known): boolean | null {
  if (sign === '=') return sameValue(a, b);
  if (sign === '!=') return !sameValue(a, b);
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

/** Three-valued `and`/`or`: the deciding side decides even when the other is unknown or null. */
function logical(expression: Extract<Expression, { kind: 'and' | 'or' }>): Run {
  const [left, right] = [compileExpression(expression.left), compileExpression(expression.right)];
  const deciding = expression.kind === 'or';
  return (lookup, column) => {
    const a = left(lookup, column);
    if (a === deciding) return deciding;
    const b = right(lookup, column);
    if (b === deciding) return deciding;
    return unknownAmong([a, b]) ?? (a === null || b === null ? null : !deciding);
  };
}

/**
 * With an open condition the answer is still known where both sides give the same; otherwise what the condition needs comes
 * first. A null condition takes `else`.
 */
function conditional(expression: Extract<Expression, { kind: 'if' }>): Run {
  const condition = compileExpression(expression.condition);
  const [then, otherwise] = [compileExpression(expression.whenTrue), compileExpression(expression.whenFalse)];
  return (lookup, column) => {
    const holds = condition(lookup, column);
    if (!(holds instanceof Unknown)) return holds === true ? then(lookup, column) : otherwise(lookup, column);
    const [a, b] = [then(lookup, column), otherwise(lookup, column)];
    if (!(a instanceof Unknown) && !(b instanceof Unknown) && sameValue(a, b)) return a;
    const canBeSettled = holds.facts.size > 0 || holds.decisions.size > 0;
    return canBeSettled ? holds : (unknownAmong([holds, a, b]) ?? holds);
  };
}

const CALLS: Readonly<Record<FunctionName, (args: readonly Expression[]) => Run>> = {
  decimal: (args) => numeric(args, ([x, n]) => rounded(x, n, Decimal.ROUND_HALF_EVEN)),
  'round half up': (args) => numeric(args, ([x, n]) => rounded(x, n, Decimal.ROUND_HALF_UP)),
  floor: (args) => numeric(args, ([x, n]) => rounded(x, n ?? ZERO, Decimal.ROUND_FLOOR)),
  ceiling: (args) => numeric(args, ([x, n]) => rounded(x, n ?? ZERO, Decimal.ROUND_CEIL)),
  min: (args) => numeric(args, (numbers) => Decimal.min(...numbers)),
  max: (args) => numeric(args, (numbers) => Decimal.max(...numbers)),
  abs: (args) => numeric(args, ([x]) => x.abs()),
};
const ZERO = new Decimal(0);
type Rounding = DecimalLibrary.Rounding;

function rounded(x: Decimal, places: Decimal, mode: Rounding): Decimal | null {
  if (!places.isInteger() || places.lessThan(0) || places.greaterThan(33)) return null;
  const result = x.toDecimalPlaces(places.toNumber(), mode);
  return result.isZero() ? ZERO : result;
}
