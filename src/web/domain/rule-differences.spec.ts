import { describe, expect, it } from 'vitest';
import { rule, smallDocument } from '../../../tests/support/small-policy.js';
import type { PolicyDocument, PolicyRule } from '../../policies/policies.contract.js';
import { parameterDifferences, ruleDifferences, valueText } from './rule-differences.js';

const PARTY = { type: 'enum', values: ['carrier', 'maker'] } as const;

function policy(rules: readonly PolicyRule[], over: Partial<PolicyDocument> = {}): PolicyDocument {
  const table = { hit: 'first' as const, columns: { p: 'part', d: 'days' }, rules, otherwise: { party: 'maker' } };
  return smallDocument([{ id: 'who', title: 'Who answers', gives: { party: PARTY }, table }], over);
}

const A = rule('A', { p: '"leg"' }, { party: 'carrier' });
const B = rule('B', { d: '<= 5' }, { party: 'maker' });
const C = rule('C', {}, { party: 'carrier' });

// Worked by hand.
describe('what two versions say otherwise, rule by rule', () => {
  it('is nothing for one and the same', () => {
    expect(ruleDifferences(policy([A, B]), policy([A, B]))).toEqual([]);
    expect(parameterDifferences(policy([A]), policy([B]))).toEqual([]);
  });

  it('names rules that came, went and changed, and of those only the texts that did', () => {
    const later = rule('B', { d: '<= 7', p: '"motor"' }, { party: 'maker' });
    const [who, ...others] = ruleDifferences(policy([A, B]), policy([{ ...later, because: 'a week' }, C]));
    expect(others).toEqual([]);
    // `otherwise` is the one that stayed.
    expect(who).toMatchObject({ decision: 'who', title: 'Who answers', kind: 'changed', same: 1, around: [] });
    expect(who?.rules).toEqual([
      {
        rule: 'B',
        kind: 'changed',
        texts: [
          { name: 'days', was: '<= 5', becomes: '<= 7' },
          { name: 'part', becomes: '"motor"' },
          { name: 'because', becomes: 'a week' },
        ],
      },
      { rule: 'C', kind: 'added', texts: [{ name: 'gives party', becomes: 'carrier' }] },
      {
        rule: 'A',
        kind: 'removed',
        texts: [
          { name: 'part', was: '"leg"' },
          { name: 'gives party', was: 'carrier' },
        ],
      },
    ]);
  });

  it('calls the fewest rules moved', () => {
    const kinds = (after: readonly PolicyRule[]) =>
      ruleDifferences(policy([A, B, C]), policy(after)).flatMap(({ rules }) =>
        rules.map(({ rule: id, kind }) => [id, kind]),
      );
    expect(kinds([C, A, B])).toEqual([['C', 'moved']]);
    expect(kinds([B, C, A])).toEqual([['A', 'moved']]);
  });

  it('says when a decision is new or gone, and what changed around its rules', () => {
    const sum = { id: 'sum', gives: { sum: { type: 'integer' } }, expression: 'days + 1' } as const;
    const added = ruleDifferences(policy([A]), { ...policy([A]), decisions: [...policy([A]).decisions, sum] });
    expect(added).toMatchObject([
      { decision: 'sum', kind: 'added', around: [{ name: 'expression', becomes: 'days + 1' }] },
    ]);
    expect(ruleDifferences({ ...policy([A]), decisions: [sum] }, { ...policy([A]), decisions: [] })).toMatchObject([
      { decision: 'sum', kind: 'removed' },
    ]);
    const [who] = policy([A]).decisions;
    const unique = {
      ...policy([A]),
      decisions: [{ ...who, table: { ...who?.table, hit: 'unique' } }],
    } as PolicyDocument;
    expect(ruleDifferences(policy([A]), unique)[0]?.around).toEqual([
      { name: 'how the table chooses', was: 'first', becomes: 'unique' },
    ]);
  });

  it('names dated values that came, went and changed', () => {
    const days = (values: readonly { from: string; value: number }[]) =>
      policy([A], { parameters: { 'notice days': { type: 'integer', unit: 'days', values } } });
    const was = days([
      { from: '2024-01-01', value: 3 },
      { from: '2026-07-01', value: 7 },
    ]);
    const becomes = days([
      { from: '2024-01-01', value: 4 },
      { from: '2026-09-01', value: 7 },
    ]);
    expect(parameterDifferences(was, becomes)).toEqual([
      {
        name: 'notice days',
        unit: 'days',
        values: [
          { from: '2024-01-01', was: '3', becomes: '4' },
          { from: '2026-07-01', was: '7' },
          { from: '2026-09-01', becomes: '7' },
        ],
      },
    ]);
  });

  it.each([
    [true, 'yes'],
    [null, 'nothing'],
    [[], 'none'],
    [['a', 'b'], 'a, b'],
    ['12.5', '12.5'],
    [undefined, '–'],
  ])('%j is read as %s', (value, words) => {
    expect(valueText(value)).toBe(words);
  });
});
