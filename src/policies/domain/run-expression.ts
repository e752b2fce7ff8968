import { calculate, negate, NUMBER_ARITHMETIC } from './feel/arithmetic.js';
import { BUILTINS } from './feel/builtins.js';
import { compareKnown, equal, type ComparisonSign } from './feel/compare.js';
import { isDecimal } from './feel/decimal.js';
import type { FeelValue } from './feel/kinds.js';
import { propertyOf } from './feel/properties.js';
import { readDuration, readTemporal } from './feel/read-temporal.js';
import { builtinValue, compileFunction, compileInvocation } from './run-functions.js';
import { compileContext, compileFilter, compileInstanceOf, compileRange } from './run-collections.js';
import { compileLoop, compileQuantified } from './run-loops.js';
import { compileTest } from './run-tests.js';
import { onKnown, unknownAmong, type WideRun, type WideValue } from './runs.js';
import type { Expression } from './syntax.js';
import { Day, Decimal, Unknown, type Value } from './values.js';

export { compareKnown };

/** Looks a fact, parameter or earlier outcome of a policy up; answers Unknown where it is not known. */
export type Lookup = (name: string) => Value;

/** A compiled expression of a policy. `column` is the value of `?` in a cell. */
export type Run = (lookup: Lookup, column?: Value) => Value;

/** Compiles a checked expression of a policy to a closure. */
export function compileExpression(expression: Expression): Run {
  // Safe: the checker lets no column, outcome or cell through whose value is of a kind that only stands inside an expression.
  return compileWide(expression) as Run;
}

/** Compiles an expression of either dialect to a closure. */
export function compileWide(expression: Expression): WideRun {
  switch (expression.kind) {
    case 'number':
      return constant(new Decimal(expression.text));
    case 'text':
      return constant(expression.text);
    case 'boolean':
      return constant(expression.value);
    case 'date':
      return constant(Day.parse(expression.text) ?? null);
    case 'duration':
      return constant(readDuration(expression.text) ?? null);
    case 'temporal':
      return constant(readTemporal(expression.text) ?? null);
    case 'null':
      return constant(null);
    case 'name':
    case 'local': {
      const { name } = expression;
      return (lookup) => lookup(name);
    }
    case 'builtin':
      return builtinValue(expression.name);
    case 'column value':
      return (_, column) => column ?? null;
    case 'negative':
      return compileNegative(expression.of);
    case 'arithmetic':
      return arithmetic(expression);
    case 'comparison':
      return comparison(expression.sign, compileWide(expression.left), compileWide(expression.right));
    case 'and':
    case 'or':
      return logical(expression);
    case 'if':
      return conditional(expression);
    default:
      return compileFurther(expression);
  }
}

type Simple =
  | 'number'
  | 'text'
  | 'boolean'
  | 'date'
  | 'duration'
  | 'temporal'
  | 'null'
  | 'name'
  | 'local'
  | 'builtin'
  | 'column value';
type Further = Exclude<Expression, { kind: Simple | 'negative' | 'arithmetic' | 'comparison' | 'and' | 'or' | 'if' }>;

function compileFurther(expression: Further): WideRun {
  switch (expression.kind) {
    case 'call':
      return compileCall(expression);
    case 'list':
      return onKnown(expression.items.map(compileWide), (items) => [...items]);
    case 'path': {
      const { name } = expression;
      return onKnown([compileWide(expression.of)], ([of = null]) => propertyOf(of, name));
    }
    case 'between':
      return compileBetween(expression);
    case 'in':
      return compileMembership(expression);
    case 'some':
    case 'every':
      return compileQuantified(expression, compileWide);
    case 'for':
      return compileLoop(expression, compileWide);
    case 'context':
      return compileContext(expression, compileWide);
    case 'filter':
      return compileFilter(expression, compileWide);
    case 'range':
    case 'half range':
      return compileRange(expression, compileWide);
    case 'instance of':
      return compileInstanceOf(expression, compileWide);
    case 'function':
      return compileFunction(expression, compileWide);
    case 'invocation':
      return compileInvocation(expression, compileWide);
  }
}

function constant(value: FeelValue): WideRun {
  return () => value;
}

function compileNegative(of: Expression): WideRun {
  const run = compileWide(of);
  return (lookup, column) => {
    const value = run(lookup, column);
    return value instanceof Unknown ? value : negate(value);
  };
}

function arithmetic(expression: Extract<Expression, { kind: 'arithmetic' }>): WideRun {
  const [left, right] = [compileWide(expression.left), compileWide(expression.right)];
  const { sign } = expression;
  const exact = NUMBER_ARITHMETIC[sign];
  return (lookup, column) => {
    const a = left(lookup, column);
    const b = right(lookup, column);
    if (isDecimal(a) && isDecimal(b)) return exact(a, b);
    if (a instanceof Unknown) return b instanceof Unknown ? a.and(b) : a;
    return b instanceof Unknown ? b : calculate(sign, a, b);
  };
}

/** A comparison of two compiled expressions. */
function comparison(sign: ComparisonSign, left: WideRun, right: WideRun): WideRun {
  return (lookup, column) => {
    const [a, b] = [left(lookup, column), right(lookup, column)];
    if (a instanceof Unknown) return b instanceof Unknown ? a.and(b) : a;
    if (b instanceof Unknown) return b;
    return compareKnown(sign, a, b);
  };
}

/** Three-valued `and`/`or`: the deciding side decides even when the other is unknown or null. */
function logical(expression: Extract<Expression, { kind: 'and' | 'or' }>): WideRun {
  const [left, right] = [compileWide(expression.left), compileWide(expression.right)];
  const deciding = expression.kind === 'or';
  return (lookup, column) => {
    const a = left(lookup, column);
    if (a === deciding) return deciding;
    const b = right(lookup, column);
    if (b === deciding) return deciding;
    return unknownAmong([a, b]) ?? (a === !deciding && b === !deciding ? !deciding : null);
  };
}

/**
 * With an open condition the answer is still known where both sides give the same; otherwise what the condition needs comes
 * first. A null condition takes `else`.
 */
function conditional(expression: Extract<Expression, { kind: 'if' }>): WideRun {
  const condition = compileWide(expression.condition);
  const [then, otherwise] = [compileWide(expression.whenTrue), compileWide(expression.whenFalse)];
  return (lookup, column) => {
    const holds = condition(lookup, column);
    if (!(holds instanceof Unknown)) return holds === true ? then(lookup, column) : otherwise(lookup, column);
    const [a, b] = [then(lookup, column), otherwise(lookup, column)];
    if (!(a instanceof Unknown) && !(b instanceof Unknown) && equal(a, b) === true) return a;
    const canBeSettled = holds.facts.size > 0 || holds.decisions.size > 0;
    return canBeSettled ? holds : (unknownAmong([holds, a, b]) ?? holds);
  };
}

function compileCall({ name, args, names }: Extract<Expression, { kind: 'call' }>): WideRun {
  const builtin = BUILTINS.get(name);
  if (!builtin) return constant(null);
  return onKnown(args.map(compileWide), (values) => builtin.call(values, names));
}

function compileBetween({ value, low, high }: Extract<Expression, { kind: 'between' }>): WideRun {
  return onKnown([value, low, high].map(compileWide), ([of = null, from = null, to = null]) => {
    const [above, below] = [compareKnown('>=', of, from), compareKnown('<=', of, to)];
    return above === null || below === null ? null : above && below;
  });
}

/** `value in (tests)`: any test that holds decides; otherwise one that is open or has no order keeps the answer open or null. */
function compileMembership({ value, tests }: Extract<Expression, { kind: 'in' }>): WideRun {
  const run = compileWide(value);
  const compiled = tests.map((test) => compileTest(test, compileWide));
  return (lookup, column) => {
    const of = run(lookup, column);
    let result = false as WideValue;
    for (const test of compiled) {
      const holds = test(lookup, of);
      if (holds === true) return true;
      if (holds instanceof Unknown) result = result instanceof Unknown ? result.and(holds) : holds;
      else if (holds === null && result === false) result = null;
    }
    return result;
  };
}
