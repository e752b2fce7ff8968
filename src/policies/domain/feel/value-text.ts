import { isDecimal } from './decimal.js';
import { FeelFunction, isContext, isList, Range, type FeelValue } from './kinds.js';

/** Text of a value as `string(…)` gives it; null of null. */
export function textOf(value: FeelValue): string | null {
  if (value === null) return null;
  return typeof value === 'string' ? value : written(value);
}

/** A value as it would be written in an expression. */
function written(value: FeelValue): string {
  if (value === null) return 'null';
  if (typeof value === 'string') return `"${value.replaceAll('\\', '\\\\').replaceAll('"', '\\"')}"`;
  if (typeof value === 'boolean') return String(value);
  if (isDecimal(value)) return value.toFixed();
  if (value instanceof Range) return rangeText(value);
  if (value instanceof FeelFunction) return `function(${(value.parameters ?? []).join(', ')})`;
  if (isList(value)) return `[${value.map(written).join(', ')}]`;
  if (isContext(value))
    return `{${Array.from(value, ([name, item]) => `${keyText(name)}: ${written(item)}`).join(', ')}}`;
  return value.toString();
}

function keyText(name: string): string {
  return /^[\p{L}_][\p{L}\p{N}_ ]*$/u.test(name) ? name : written(name);
}

function rangeText({ low, high, bounds }: Range): string {
  if (bounds.sign !== undefined) return `${bounds.sign} ${written(bounds.sign.startsWith('<') ? high : low)}`;
  return `${bounds.lowOpen ? '(' : '['}${written(low)}..${written(high)}${bounds.highOpen ? ')' : ']'}`;
}
