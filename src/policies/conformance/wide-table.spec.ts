import { describe, expect, it } from 'vitest';
import { Decimal } from '../domain/feel/decimal.js';
import type { FeelValue } from '../domain/feel/kinds.js';
import { resultOf, type HitRules } from './wide-table.js';

const rules = (policy: string, over: Partial<HitRules> = {}): HitRules => ({
  policy,
  aggregation: undefined,
  priorities: [['high', 'middle', 'low']],
  shape: ([value = null]) => value,
  otherwise: 'none',
  ...over,
});
const hits = (...values: FeelValue[]): FeelValue[][] => values.map((value) => [value]);
const n = (value: number): Decimal => new Decimal(value);

// OMG DMN 1.5, 8.2.8 (hit policies) and 8.2.11 (collect with an operator).
describe('hit policies of decision models', () => {
  it.each<[string, FeelValue[][], FeelValue]>([
    ['UNIQUE', hits('low'), 'low'],
    ['UNIQUE', hits('low', 'high'), null],
    ['UNIQUE', [], 'none'],
    ['ANY', hits('low', 'low'), 'low'],
    ['ANY', hits('low', 'high'), null],
    ['FIRST', hits('low', 'high'), 'low'],
    ['PRIORITY', hits('low', 'high', 'middle'), 'high'],
    ['OUTPUT ORDER', hits('low', 'high', 'middle'), ['high', 'middle', 'low']],
    ['RULE ORDER', hits('low', 'high'), ['low', 'high']],
    ['COLLECT', hits('low', 'high', 'low'), ['low', 'high', 'low']],
  ])('%s of %j is %j', (policy, found, expected) => {
    expect(resultOf(found, rules(policy))).toEqual(expected);
  });

  it.each<[string, FeelValue]>([
    ['SUM', n(7)],
    ['MIN', n(2)],
    ['MAX', n(3)],
    // The count is that of the rules that hold, equal outputs counted each.
    ['COUNT', n(3)],
  ])('collect %s', (aggregation, expected) => {
    expect(resultOf(hits(n(2), n(3), n(2)), rules('COLLECT', { aggregation }))).toEqual(expected);
  });

  it('a priority over two outputs looks at the first column first', () => {
    const two: Partial<HitRules> = {
      priorities: [
        ['a', 'b'],
        ['x', 'y'],
      ],
      shape: (hit) => hit,
    };
    const found = [
      ['b', 'x'],
      ['a', 'y'],
      ['a', 'x'],
    ];
    expect(resultOf(found, rules('PRIORITY', two))).toEqual(['a', 'x']);
  });
});
