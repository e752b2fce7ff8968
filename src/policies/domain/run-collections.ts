import { compareKnown } from './feel/compare.js';
import { isDecimal } from './feel/decimal.js';
import { isContext, isList, Range, type FeelValue } from './feel/kinds.js';
import { isOfType } from './feel/type-fit.js';
import { lookupWith, onKnown, type Compile, type WideRun } from './runs.js';
import type { Expression } from './syntax.js';
import { Unknown } from './values.js';

/** A context: each entry may read those before it. A name that comes twice makes it null. */
export function compileContext({ entries }: Extract<Expression, { kind: 'context' }>, compile: Compile): WideRun {
  const names = entries.map(({ name }) => name);
  if (new Set(names).size < names.length) return () => null;
  const runs = entries.map(({ name, value }) => ({ name, run: compile(value) }));
  return (lookup, column) => {
    const made = new Map<string, FeelValue>();
    const inside = lookupWith(lookup, made);
    for (const { name, run } of runs) {
      const value = run(inside, column);
      if (value instanceof Unknown) return value;
      made.set(name, value);
    }
    return made;
  };
}

/** `list[2]` by place, `list[item > 2]` and `list[name = "x"]` by condition. A single value counts as a list of it. */
export function compileFilter({ of, by }: Extract<Expression, { kind: 'filter' }>, compile: Compile): WideRun {
  const condition = compile(by);
  const list = compile(of);
  const byPlace = by.kind === 'number' || (by.kind === 'negative' && by.of.kind === 'number');
  return (lookup, column) => {
    const value = list(lookup, column);
    if (value instanceof Unknown) return value;
    const items = isList(value) ? value : value === null ? [] : [value];
    const outside = byPlace ? condition(lookup, column) : undefined;
    if (isDecimal(outside)) return placed(items, outside.toNumber());
    const kept: FeelValue[] = [];
    for (const item of items) {
      const inside = isContext(item) ? item : new Map<string, FeelValue>();
      const names = inside.has('item') ? inside : new Map<string, FeelValue>([['item', item], ...inside]);
      const holds = condition(lookupWith(lookup, names), column);
      if (holds instanceof Unknown) return holds;
      if (isDecimal(holds)) return placed(items, holds.toNumber());
      if (holds === true) kept.push(item);
      else if (holds !== false && holds !== null) return null;
    }
    return kept;
  };
}

function placed(items: readonly FeelValue[], place: number): FeelValue {
  if (!Number.isInteger(place) || place === 0) return null;
  return items.at(place > 0 ? place - 1 : place) ?? null;
}

/** A range as a value. One whose ends have no order, or stand the wrong way round, is null. */
export function compileRange(
  expression: Extract<Expression, { kind: 'range' | 'half range' }>,
  compile: Compile,
): WideRun {
  if (expression.kind === 'half range') {
    const { sign } = expression;
    return onKnown([compile(expression.value)], ([end = null]) => {
      const [low, high] = [sign.startsWith('<') ? null : end, sign.startsWith('>') ? null : end];
      const closed = sign === '=';
      return new Range(low, high, { lowOpen: !closed && sign !== '>=', highOpen: !closed && sign !== '<=', sign });
    });
  }
  const { lowOpen, highOpen } = expression;
  return onKnown([compile(expression.low), compile(expression.high)], ([low = null, high = null]) => {
    if (low !== null && high !== null && compareKnown('<=', low, high) !== true) return null;
    return new Range(low, high, { lowOpen, highOpen });
  });
}

export function compileInstanceOf(
  { value, type }: Extract<Expression, { kind: 'instance of' }>,
  compile: Compile,
): WideRun {
  return onKnown([compile(value)], ([of = null]) => of !== null && isOfType(of, type));
}
