import fc from 'fast-check';
import { evaluate, unaryTest } from 'feelin';
import { describe, expect, it } from 'vitest';
import { feel, feelValue } from '../../../../tests/support/feel.js';
import { parseCell } from '../cell-parser.js';
import { compileCell } from '../run-cell.js';
import { Decimal, isDecimal } from './decimal.js';
import { isList, type FeelValue } from './kinds.js';

/**
 * Random expressions read by a second, independent reader of the language: feelin, with its own grammar (lezer-feel) and its own
 * evaluator. The generators keep to where both mean the same; where they are known to differ is listed below, each difference
 * with its reason and shown to be one.
 */
const number = fc
  .integer({ min: -400, max: 400 })
  .map((eighths) => eighths / 8)
  .map((n) => (n < 0 ? `(${n})` : String(n)));
const word = fc.constantFrom('"leg"', '"motor"', '"carton"', '""', '"Leg"', '"a leg"');

type Forms = Readonly<Record<'number' | 'boolean' | 'text' | 'list', string>>;

const {
  number: numbers,
  boolean: booleans,
  text: texts,
  list: lists,
} = fc.letrec<Forms>((tie) => {
  const [n, b, t, l] = [tie('number'), tie('boolean'), tie('text'), tie('list')] as const;
  const form = (parts: readonly fc.Arbitrary<string>[], write: (...texts: string[]) => string): fc.Arbitrary<string> =>
    fc.tuple(...parts).map((texts) => write(...texts));
  const sign = fc.constantFrom('<', '<=', '>', '>=', '=', '!=');
  return {
    number: fc.oneof(
      { depthSize: 'small', withCrossShrink: true },
      number,
      fc.constant('x'),
      form([n, fc.constantFrom('+', '-', '*'), n], (a, op, c) => `(${a} ${op} ${c})`),
      form([n, fc.constantFrom('2', '4', '0.5')], (a, c) => `(${a} / ${c})`),
      form([n], (a) => `-(${a})`),
      form([n], (a) => `abs(${a})`),
      form([n], (a) => `floor(${a})`),
      form([n], (a) => `ceiling(${a})`),
      form([n, n], (a, c) => `max(${a}, ${c})`),
      form([l], (list) => `count(${list})`),
      form([n, n], (a, c) => `sum([${a}, ${c}])`),
      form([t], (text) => `string length(${text})`),
      form([b, n, n], (c, yes, no) => `(if ${c} then ${yes} else ${no})`),
    ),
    boolean: fc.oneof(
      { depthSize: 'small', withCrossShrink: true },
      fc.constantFrom('true', 'false', 'null'),
      form([n, sign, n], (a, op, c) => `(${a} ${op} ${c})`),
      form([t, fc.constantFrom('=', '!='), t], (a, op, c) => `(${a} ${op} ${c})`),
      form([b, fc.constantFrom('and', 'or'), b], (a, op, c) => `(${a} ${op} ${c})`),
      form([b], (a) => `not(${a})`),
      form([n, n, n], (a, low, more) => `(${a} between ${low} and ${low} + abs(${more}))`),
      form([n, l], (a, list) => `list contains(${list}, ${a})`),
      form([t, t], (a, c) => `contains(${a}, ${c})`),
      form([t, t], (a, c) => `starts with(${a}, ${c})`),
      form([l, n], (list, bound) => `(some i in ${list} satisfies i > ${bound})`),
      form([l, n], (list, bound) => `(every i in ${list} satisfies i > ${bound})`),
    ),
    text: fc.oneof(
      { depthSize: 'small', withCrossShrink: true },
      word,
      form([t, t], (a, c) => `(${a} + ${c})`),
      form([t], (a) => `upper case(${a})`),
      form([t, t], (a, c) => `substring before(${a}, ${c})`),
      form([b, t, t], (c, yes, no) => `(if ${c} then ${yes} else ${no})`),
    ),
    list: fc.oneof(
      { depthSize: 'small', withCrossShrink: true },
      form([n, n], (a, c) => `[${a}, ${c}]`),
      form([n], (a) => `[${a}]`),
      form([l, n], (list, bound) => `${list}[item > ${bound}]`),
      form([l, l], (a, c) => `concatenate(${a}, ${c})`),
      form([l], (list) => `reverse(${list})`),
      form([l], (list) => `(for i in ${list} return i * 2)`),
    ),
  };
});

function plain(value: FeelValue): unknown {
  if (isDecimal(value)) return value.toNumber();
  return isList(value) ? value.map(plain) : value;
}

/** Its numbers have a negative zero, ours do not. */
function withoutNegativeZero(value: unknown): unknown {
  if (Array.isArray(value)) return value.map(withoutNegativeZero);
  return value === 0 ? 0 : value;
}

describe('a second reader of the language', () => {
  it.each<[string, fc.Arbitrary<string>]>([
    ['numbers', numbers],
    ['truth values', booleans],
    ['texts', texts],
    ['lists', lists],
  ])('agrees on %s', (_, expressions) => {
    fc.assert(
      fc.property(expressions, number, (text, x) => {
        const given = { x: feelValue(x) };
        const theirs: unknown = evaluate(text, { x: Number(x.replace(/[()]/g, '')) }).value;
        expect(plain(feelValue(text, given)), text).toEqual(withoutNegativeZero(theirs));
      }),
      { numRuns: 150 },
    );
  });

  it('agrees on cells', () => {
    const end = fc.integer({ min: -20, max: 20 }).map((n) => n / 2);
    const test = fc.oneof(
      end.map(String),
      fc.tuple(fc.constantFrom('<', '<=', '>', '>='), end).map(([sign, n]) => `${sign} ${n}`),
      fc
        .tuple(fc.constantFrom('[', '('), end, end, fc.constantFrom(']', ')'))
        .map(([open, a, b, close]) => `${open}${Math.min(a, b)}..${Math.max(a, b)}${close}`),
    );
    const cell = fc
      .tuple(fc.boolean(), fc.array(test, { minLength: 1, maxLength: 4 }))
      .map(([negated, tests]) => (negated ? `not(${tests.join(', ')})` : tests.join(', ')));
    fc.assert(
      fc.property(cell, end, (text, n) => {
        const run = compileCell(parseCell(text, { names: new Set() }));
        expect(
          run(new Decimal(n), () => null),
          text,
        ).toBe(unaryTest(text, { '?': n }).value);
      }),
      { numRuns: 500 },
    );
  });
});

describe('where the second reader is known to differ', () => {
  it.each<[string, string, unknown, string]>([
    ['0.1 + 0.2 = 0.3', 'true', false, 'its numbers are binary fractions'],
    ['round half up(1.005, 2)', '1.01', 1, 'its numbers are binary fractions'],
    ['9007199254740993 = 9007199254740992', 'false', true, 'its numbers are binary fractions'],
    ['5 in [1..null)', 'null', true, 'it takes null for an end without bound; the conformance cases say null'],
    ['2 between 3 and 1', 'false', true, 'it reads ends the wrong way round as if they were the right way round'],
    ['{a: 1, a: 2}', 'null', { a: 2 }, 'it lets the last of two equal keys win; the conformance cases say null'],
  ])('%s is %s here and %j there, because %4$s', (text, here, there) => {
    expect(feel(text)).toBe(here);
    expect(evaluate(text, {}).value).toEqual(there);
  });

  it.each<[string, unknown, string]>([
    ['> 5', '6', 'it compares a text with a number'],
    ['[3..1]', 2, 'it reads a reversed interval as if it were the right way round'],
  ])('cell %s matches %j there, because %s, and cannot be written or is not met here', (text, value) => {
    expect(unaryTest(text, { '?': value }).value).toBe(true);
    const cell = parseCell(text, { names: new Set(), dialect: 'wide' });
    expect(compileCell(cell)(typeof value === 'number' ? new Decimal(value) : String(value), () => null)).toBe(false);
  });
});
