import { describe, expect, it } from 'vitest';
import { feel } from '../../../../tests/support/feel.js';
import { parseExpression } from '../parser.js';
import { TooLong } from '../runs.js';
import { SyntaxFault } from '../syntax.js';
import { Decimal } from './decimal.js';

// OMG DMN 1.5, chapter 10; answers worked out by hand.
describe('lists and contexts', () => {
  it.each([
    ['[1, 2, 3][2]', '2'],
    ['[1, 2, 3][-1]', '3'],
    ['[1, 2, 3][4]', 'null'],
    ['[1, 2, 3][item > 1]', '[2, 3]'],
    ['[{a: 1, b: 2}, {a: 3}][a = 3].b', '[null]'],
    ['[{a: 1}, {a: 2}].a', '[1, 2]'],
    ['{a: 1, b: a + 1, c d: a + b}.c d', '3'],
    ['{"a-b": 1}', '{"a-b": 1}'],
    ['{a: 1, a: 2}', 'null'],
    ['for x in [1, 2], y in [10, 20] return x + y', '[11, 21, 12, 22]'],
    ['for i in 3..1 return i', '[3, 2, 1]'],
    ['for i in 1..4 return if i = 1 then 1 else i * partial[-1]', '[1, 2, 6, 24]'],
    ['every x in [] satisfies false', 'true'],
    ['some x in [] satisfies true', 'false'],
    ['(function(a, b) a - b)(b: 1, a: 3)', '2'],
    ['(function(a: number) a)("x")', 'null'],
    ['sort([3, 1, 2], function(x, y) x > y)', '[3, 2, 1]'],
    ['{f: function(n) if n < 2 then 1 else n * 2, r: f(3)}.r', '6'],
    ['substring(string: "leg rest", start position: 5)', '"rest"'],
    ['substring(string: "leg rest", from: 5)', 'null'],
    ['string join(["a", null, "b"], "-")', '"a-b"'],
    ['context put({a: 1}, "b", 2)', '{a: 1, b: 2}'],
    ['get entries({a: 1})[1].key', '"a"'],
    ['distinct values([1, 1.0, "1", null, null])', '[1, "1", null]'],
    ['flatten([1, [2, [3]]])', '[1, 2, 3]'],
    ['index of(["a", "b", "a"], "a")', '[1, 3]'],
    ['insert before([1, 3], 2, 2)', '[1, 2, 3]'],
    ['mode([6, 3, 9, 6, 3])', '[3, 6]'],
    ['matches("carton 7", "^[a-z]+ \\d$")', 'true'],
    ['replace("leg-1", "(\\w+)-(\\d)", "$2:$1")', '"1:leg"'],
    ['split("a;b;;c", ";")', '["a", "b", "", "c"]'],
    ['overlaps([1..5], (5..8])', 'false'],
    ['[1..5] = [1..5]', 'true'],
    ['[5..1]', 'null'],
    ['1 instance of number', 'true'],
    ['[1, "x"] instance of list<number>', 'false'],
    ['5 between 1 and 10 and 3 in [1..4)', 'true'],
    ['1 + /* not 2 */ 1 // and nothing else', '2'],
    ['-2 ** 2', '4'],
    ['2 ** 3 ** 2', '64'],
    ['"\\u0041\\U01F40E"', '"A\u{1F40E}"'],
    ['unheard', 'null'],
  ])('%s is %s', (text, expected) => {
    // Texts are written in a list so that their quotes show.
    const [shown] = [feel(`[${text.replace(/ \/\/.*$/, '')}]`)];
    expect(shown).toBe(`[${expected}]`);
  });

  it('takes the longest name that is known, with spaces and signs in it', () => {
    const given = { a: new Decimal(1), 'a b': new Decimal(2), 'a-b': new Decimal(3), 'days in use': new Decimal(4) };
    expect(feel('a + a b + a-b + days  in  use', given)).toBe('10');
    expect(feel('a - 1', given)).toBe('0');
  });
});

describe('texts that are no expression', () => {
  it.each([
    '1 +',
    '(1',
    '[1, 2',
    '{a: }',
    '{a 1}',
    'if 1 then 2',
    'for x in return x',
    '1 2',
    '"open',
    'function(a',
    'a.',
    ')',
  ])('%s is refused at a place', (text) => {
    expect(() => parseExpression(text, { names: new Set(), dialect: 'wide' })).toThrow(SyntaxFault);
  });

  it('nesting has an end', () => {
    const deep = `${'['.repeat(5000)}1${']'.repeat(5000)}`;
    expect(() => parseExpression(deep, { names: new Set(), dialect: 'wide' })).toThrow(/deeper than 100/);
  });

  it('a long list is read in one go', () => {
    const long = `[${Array.from({ length: 100_000 }, (_, i) => i).join(', ')}]`;
    expect(feel(`count(${long})`)).toBe('100000');
  });
});

describe('work without end', () => {
  it.each(['for i in 1..2000000 return i', 'some i in 1..1000, j in 1..1000 satisfies i + j < 0'])(
    '%s is stopped',
    (text) => {
      expect(() => feel(text)).toThrow(TooLong);
    },
  );
});
