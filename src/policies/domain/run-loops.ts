import { order } from './feel/compare.js';
import { isDecimal } from './feel/decimal.js';
import { isList, Range, type FeelValue } from './feel/kinds.js';
import { lookupWith, TooLong, type Compile, type WideLookup, type WideRun, type WideValue } from './runs.js';
import { LIMITS, type Expression, type Iteration } from './syntax.js';
import { Day, Decimal, Unknown } from './values.js';

/** What a loop runs over: the values in turn; null where there is nothing to run over. */
type Turns = (lookup: WideLookup, column?: WideValue) => readonly FeelValue[] | Unknown | null;

interface CompiledIteration {
  readonly name: string;
  readonly turns: Turns;
}

function compileIteration({ name, source, to }: Iteration, compile: Compile): CompiledIteration {
  const from = compile(source);
  const until = to && compile(to);
  return {
    name,
    turns: (lookup, column) => {
      const first = from(lookup, column);
      if (first instanceof Unknown) return first;
      if (!until) return listOf(first);
      const last = until(lookup, column);
      return last instanceof Unknown ? last : counted(first, last);
    },
  };
}

function listOf(value: FeelValue): readonly FeelValue[] | null {
  if (isList(value)) return value;
  if (value === null) return null;
  if (!(value instanceof Range)) return [value];
  const { low, high, bounds } = value;
  const all = order(low, high) === 1 && !bounds.sign ? null : counted(low, high);
  if (all === null) return null;
  return all.slice(bounds.lowOpen ? 1 : 0, bounds.highOpen ? -1 : undefined);
}

/** Whole numbers or days from one to another, upwards or downwards; null of anything else. */
function counted(from: FeelValue, to: FeelValue): readonly FeelValue[] | null {
  if (from instanceof Day && to instanceof Day) {
    return steps(from.epochDay, to.epochDay).map((day) => new Day(day));
  }
  if (!isDecimal(from) || !isDecimal(to) || !from.isInteger() || !to.isInteger()) return null;
  return steps(from.toNumber(), to.toNumber()).map((n) => new Decimal(n));
}

function steps(from: number, to: number): number[] {
  const length = Math.abs(to - from) + 1;
  if (!(length <= LIMITS.turns)) throw new TooLong(`a loop of ${length} turns is longer than ${LIMITS.turns}`);
  const sign = Math.sign(to - from);
  return Array.from({ length }, (_, i) => from + sign * i);
}

type Visit = (bound: ReadonlyMap<string, FeelValue>) => 'go on' | 'stop';

/** Visits every combination of the values of all iterations, the last one running fastest; what it gives ends the loop. */
function visit(
  over: readonly CompiledIteration[],
  lookup: WideLookup,
  column: WideValue | undefined,
  each: Visit,
): Unknown | null | undefined {
  const bound = new Map<string, FeelValue>();
  let turns = 0;
  const from = (depth: number): Unknown | null | 'stop' | undefined => {
    const iteration = over[depth];
    if (!iteration) {
      turns += 1;
      if (turns > LIMITS.turns) throw new TooLong(`a loop took more than ${LIMITS.turns} turns`);
      return each(bound) === 'stop' ? 'stop' : undefined;
    }
    const values = iteration.turns(depth === 0 ? lookup : lookupWith(lookup, bound), column);
    if (values instanceof Unknown || values === null) return values;
    for (const value of values) {
      bound.set(iteration.name, value);
      const end = from(depth + 1);
      if (end !== undefined) return end;
    }
    return undefined;
  };
  const end = from(0);
  return end === 'stop' ? undefined : end;
}

/** `some` and `every`: decided by one turn that decides; null or unknown turns leave the answer so. */
export function compileQuantified(
  expression: Extract<Expression, { kind: 'some' | 'every' }>,
  compile: Compile,
): WideRun {
  const over = expression.over.map((each) => compileIteration(each, compile));
  const satisfies = compile(expression.satisfies);
  const deciding = expression.kind === 'some';
  return (lookup, column) => {
    let result: WideValue = !deciding;
    const end = visit(over, lookup, column, (bound) => {
      const holds = satisfies(lookupWith(lookup, bound), column);
      if (holds === deciding) {
        result = deciding;
        return 'stop';
      }
      if (holds instanceof Unknown) result = result instanceof Unknown ? result.and(holds) : holds;
      else if (holds !== !deciding && !(result instanceof Unknown)) result = null;
      return 'go on';
    });
    return end === undefined ? result : end;
  };
}

/** `for … return`: the results in turn; `partial` is the list of those so far. */
export function compileLoop(expression: Extract<Expression, { kind: 'for' }>, compile: Compile): WideRun {
  const over = expression.over.map((each) => compileIteration(each, compile));
  const result = compile(expression.result);
  return (lookup, column) => {
    const partial: FeelValue[] = [];
    let open: Unknown | undefined;
    const end = visit(over, lookup, column, (bound) => {
      const value = result(lookupWith(lookupWith(lookup, new Map([['partial', partial]])), bound), column);
      if (value instanceof Unknown) {
        open = value;
        return 'stop';
      }
      partial.push(value);
      return 'go on';
    });
    return end === undefined ? (open ?? partial) : end;
  };
}
