import { textOf } from '../../src/policies/domain/feel/value-text.js';
import type { FeelValue } from '../../src/policies/domain/feel/kinds.js';
import { parseExpression } from '../../src/policies/domain/parser.js';
import { compileWide } from '../../src/policies/domain/run-expression.js';
import { Unknown } from '../../src/policies/domain/values.js';

/** Value of an expression of the wide dialect. @param given values by name; a name that is not given is null */
export function feelValue(text: string, given: Readonly<Record<string, FeelValue>> = {}): FeelValue {
  const names = new Set(Object.keys(given));
  const value = compileWide(parseExpression(text, { names, dialect: 'wide' }))((name) => given[name] ?? null);
  if (value instanceof Unknown) throw new Error(`${text} is not known`);
  return value;
}

/** The same as text, as `string(…)` would write it; `null` for null. */
export function feel(text: string, given: Readonly<Record<string, FeelValue>> = {}): string {
  return textOf(feelValue(text, given)) ?? 'null';
}
