import { describe, expect, it } from 'vitest';
import { faultsOf, ready, rule, smallDocument } from '../../../tests/support/small-policy.js';
import type { CompiledPolicy, FactType, OutcomeValue, PolicyDecision, PolicyTable } from '../policies.contract.js';

// The hit policies are those of DMN 1.5, section 8.2.8: single hits U A P F, multiple hits O R C with + < > #.
const ON = '2026-03-01';
const LEVELS: FactType = { type: 'enum', values: ['high', 'middle', 'low'] };
const WHOLE: FactType = { type: 'integer' };

function decision(table: Omit<PolicyTable, 'columns'>, out: FactType): PolicyDecision {
  return { id: 'out', gives: { out }, table: { columns: { days: 'days', noted: 'noted' }, ...table } };
}

function policyOf(table: Omit<PolicyTable, 'columns'>, out: FactType = LEVELS): CompiledPolicy {
  return ready(smallDocument([decision(table, out)]));
}

/** Three rules that hold from 0, 5 and 8 days on, with what each gives. */
function rising(values: readonly OutcomeValue[]): PolicyTable['rules'] {
  return ['>= 0', '>= 5', '>= 8'].map((days, at) => rule(`R${at + 1}`, { days }, { out: values[at] ?? null }));
}

function outcome(policy: CompiledPolicy, days: number): OutcomeValue | undefined {
  const facts = { days };
  const { outcomes } = policy.evaluate(ON, facts);
  expect(policy.decide(ON, facts).outcomes).toEqual(outcomes);
  return outcomes['out'];
}

describe('tables of which one rule decides', () => {
  it('unique: names both rules where two hold', () => {
    const policy = policyOf({ hit: 'unique', rules: rising(['high', 'high', 'low']) });
    expect(outcome(policy, 3)).toBe('high');
    expect(() => policy.evaluate(ON, { days: 5 })).toThrow(/the rules R1 and R2 both hold/);
    expect(() => policy.decide(ON, { days: 5 })).toThrow(/the rules R1 and R2 both hold/);
  });

  it('any: lets rules hold together that agree, and names two that do not', () => {
    const policy = policyOf({ hit: 'any', rules: rising(['high', 'high', 'low']) });
    expect(outcome(policy, 6)).toBe('high');
    expect(() => policy.evaluate(ON, { days: 9 })).toThrow(/R1 and R3 both hold and give different outcomes/);
  });

  it('first: the topmost rule that holds', () => {
    expect(outcome(policyOf({ hit: 'first', rules: rising(['low', 'high', 'middle']) }), 9)).toBe('low');
  });

  it('priority: the outcome that is declared first, wherever its rule stands', () => {
    const policy = policyOf({ hit: 'priority', rules: rising(['low', 'high', 'middle']) });
    expect([0, 5, 9].map((days) => outcome(policy, days))).toEqual(['low', 'high', 'high']);
    expect(policy.evaluate(ON, { days: 9 }).fired.map((fired) => fired.rule)).toEqual(['R2']);
  });

  it('give the outcome of otherwise where none holds, and else no rule', () => {
    for (const hit of ['unique', 'any', 'first', 'priority'] as const) {
      const rules = [rule('R1', { days: '> 5' }, { out: 'high' })];
      expect(outcome(policyOf({ hit, rules, otherwise: { out: 'low' } }), 1)).toBe('low');
      expect(policyOf({ hit, rules }).evaluate(ON, { days: 1 }).noRule).toEqual(['out']);
    }
  });
});

describe('tables of which every rule counts', () => {
  const LIST: FactType = { ...LEVELS, list: true };
  const given = ['low', 'high', 'middle'];

  it('rule order: a list in the order of the rows', () => {
    const policy = policyOf({ hit: 'rule order', rules: rising(given) }, LIST);
    expect(outcome(policy, 9)).toEqual(['low', 'high', 'middle']);
    expect(policy.evaluate(ON, { days: 9 }).fired.map((fired) => fired.rule)).toEqual(['R1', 'R2', 'R3']);
  });

  it('output order: a list in the order of the declared values', () => {
    const policy = policyOf({ hit: 'output order', rules: rising(given) }, LIST);
    expect(outcome(policy, 9)).toEqual(['high', 'middle', 'low']);
    expect(outcome(policy, 6)).toEqual(['high', 'low']);
  });

  it('collect: a list', () => {
    const policy = policyOf({ hit: 'collect', rules: rising(given), otherwise: { out: [] } }, LIST);
    expect(outcome(policy, 6)).toEqual(['low', 'high']);
  });

  it.each([
    ['sum', 12],
    ['min', -3],
    ['max', 10],
    // Counts the rules that hold, also where two of them give the same.
    ['count', 3],
  ] as const)('collect with %s: one number', (aggregate, expected) => {
    const policy = policyOf({ hit: 'collect', aggregate, rules: rising([5, 10, -3]) }, WHOLE);
    expect(outcome(policy, 9)).toBe(expected);
  });

  it('collect with sum: exact decimals', () => {
    const policy = policyOf(
      { hit: 'collect', aggregate: 'sum', rules: rising(['0.1', '0.2', '0.3']) },
      { type: 'decimal' },
    );
    expect(outcome(policy, 9)).toBe('0.6');
  });

  it('collect with count: hits, not different values', () => {
    const policy = policyOf({ hit: 'collect', aggregate: 'count', rules: rising([7, 7, 7]) }, WHOLE);
    expect([0, 5, 9].map((days) => outcome(policy, days))).toEqual([1, 2, 3]);
  });

  it('have no rule, or otherwise, where nothing holds', () => {
    const rules = [rule('R1', { days: '> 5' }, { out: 1 })];
    expect(policyOf({ hit: 'collect', aggregate: 'count', rules }, WHOLE).evaluate(ON, { days: 1 }).noRule).toEqual([
      'out',
    ]);
    const counted = policyOf({ hit: 'collect', aggregate: 'count', rules, otherwise: { out: 0 } }, WHOLE);
    expect(outcome(counted, 1)).toBe(0);
  });

  it('need a fact that a further hit would depend on, and not one that changes nothing', () => {
    const rules = [rule('R1', { days: '>= 0' }, { out: 10 }), rule('R2', { noted: 'true' }, { out: 4 })];
    const sum = policyOf({ hit: 'collect', aggregate: 'sum', rules }, WHOLE);
    expect(sum.evaluate(ON, { days: 1 }).needs.map(({ fact }) => fact)).toEqual(['noted']);
    const max = policyOf({ hit: 'collect', aggregate: 'max', rules }, WHOLE);
    expect(outcome(max, 1)).toBe(10);
  });

  it('are read as lists by later decisions', () => {
    const first = decision({ hit: 'collect', rules: rising(given), otherwise: { out: [] } }, LIST);
    const later: PolicyDecision = {
      id: 'later',
      gives: { later: { type: 'boolean' } },
      expression: '"high" in out',
    };
    const policy = ready(smallDocument([first, later]));
    expect(policy.evaluate(ON, { days: 1 }).outcomes['later']).toBe(false);
    expect(policy.evaluate(ON, { days: 6 }).outcomes['later']).toBe(true);
  });
});

describe('exceptions', () => {
  const base = rule('BASE', { days: '>= 0' }, { out: 'low' });
  const early = { ...rule('EARLY', { days: '< 5' }, { out: 'high' }), overrides: ['BASE'] };
  const noted = { ...rule('NOTED', { noted: 'true' }, { out: 'middle' }), overrides: ['BASE'] };

  it.each(['first', 'unique'] as const)('win over their rule in a table of hit %s', (hit) => {
    const policy = policyOf({ hit, rules: [base, early] });
    expect(outcome(policy, 9)).toBe('low');
    expect(outcome(policy, 3)).toBe('high');
  });

  it.each(['first', 'unique'] as const)(
    'are a conflict that names both where two hold, in a table of hit %s',
    (hit) => {
      const policy = policyOf({ hit, rules: [base, early, noted] });
      expect(policy.evaluate(ON, { days: 9, noted: true }).outcomes['out']).toBe('middle');
      expect(() => policy.evaluate(ON, { days: 3, noted: true })).toThrow(
        /the rules EARLY and NOTED both hold as exceptions to BASE/,
      );
    },
  );

  it('may be exceptions to one another, and then the last of the chain wins', () => {
    const policy = policyOf({ hit: 'unique', rules: [base, early, { ...noted, overrides: ['EARLY', 'BASE'] }] });
    expect(policy.evaluate(ON, { days: 3, noted: true }).outcomes['out']).toBe('middle');
  });

  it('keep their rule from being decided while they may hold', () => {
    const policy = policyOf({ hit: 'first', rules: [base, noted] });
    expect(policy.evaluate(ON, { days: 3 }).needs.map(({ fact }) => fact)).toEqual(['noted']);
    expect(policy.evaluate(ON, { days: 3, noted: false }).outcomes['out']).toBe('low');
  });

  it('are no faults unless they name no rule, themselves, or go in a circle', () => {
    const details = (rules: PolicyTable['rules']): string[] =>
      faultsOf(smallDocument([decision({ hit: 'first', rules }, LEVELS)])).map(({ detail }) => detail);
    expect(details([{ ...base, overrides: ['NONE'] }])).toEqual([
      'It is an exception to "NONE", and the table has no rule of that id.',
    ]);
    expect(details([{ ...base, overrides: ['BASE'] }])).toEqual(['A rule cannot be an exception to itself.']);
    expect(details([{ ...base, overrides: ['EARLY'] }, early])).toEqual([
      'The rules BASE, EARLY are exceptions to one another in a circle.',
    ]);
  });
});

describe('tables that do not say how their rules make an outcome', () => {
  it.each<[string, Omit<PolicyTable, 'columns' | 'rules'>, FactType, RegExp]>([
    ['a list that is not declared', { hit: 'collect' }, LEVELS, /declare it with "list": true/],
    ['an aggregate of one hit', { hit: 'first', aggregate: 'sum' }, WHOLE, /goes with the hit policy collect/],
    ['a sum of words', { hit: 'collect', aggregate: 'sum' }, LEVELS, /declare "out" as integer or decimal/],
    ['a count that is no whole number', { hit: 'collect', aggregate: 'count' }, LEVELS, /declare "out" as integer/],
    ['priority without declared values', { hit: 'priority' }, WHOLE, /the order of the declared values decides/],
  ])('are refused: %s', (_, table, type, detail) => {
    const value = type.type === 'enum' ? 'low' : 1;
    const rules = [rule('R1', {}, { out: value })];
    const details = faultsOf(smallDocument([decision({ ...table, rules }, type)])).map((fault) => fault.detail);
    expect(details.some((each) => detail.test(each))).toBe(true);
  });

  it('refuse a number of more than 15 digits in a cell, and say where', () => {
    const cell = '<= 1234567890.1234567';
    const [fault] = faultsOf(
      smallDocument([decision({ hit: 'first', rules: [rule('R1', { days: cell }, { out: 'low' })] }, LEVELS)]),
    );
    expect(fault).toMatchObject({ rule: 'R1', column: 'days', from: 3, to: cell.length });
    expect(fault?.detail).toMatch(/at most 15 digits/);
  });
});

describe('decimals of many digits', () => {
  it('are told apart by their last digit, as facts and as results', () => {
    const out: FactType = { type: 'enum', values: ['at', 'below', 'above'] };
    const rules = [
      rule('AT', { price: '0.1' }, { out: 'at' }),
      rule('BELOW', { price: '< 0.1' }, { out: 'below' }),
      rule('ABOVE', { price: '> 0.1' }, { out: 'above' }),
    ];
    for (const price of ['price paid', 'price paid + 0']) {
      const policy = ready(
        smallDocument([{ id: 'out', gives: { out }, table: { hit: 'unique', columns: { price }, rules } }]),
      );
      const at = (text: string): OutcomeValue | undefined =>
        policy.evaluate(ON, { 'price paid': text }).outcomes['out'];
      expect(['0.1', '0.10', '0.1000000000000000000001', '0.09999999999999999999999'].map(at)).toEqual([
        'at',
        'at',
        'above',
        'below',
      ]);
    }
  });
});
