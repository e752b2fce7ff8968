import { describe, expect, it } from 'vitest';
import { policyWith, tableDecision } from '../../../../tests/support/table-policy.js';
import { analysePolicy, countClaims, regionTest, type PolicyFinding } from '../../analysis.contract.js';
import type { CompiledPolicy } from '../../policies.contract.js';
import { analyseTables } from './analyse-policy.js';
import { tableSource } from './table-source.js';

const facts = {
  ground: { type: 'enum', values: ['damage', 'return'] },
  days: { type: 'integer', min: 0, max: 100, optional: true },
} as const;

function found(policy: CompiledPolicy, ...kinds: PolicyFinding['kind'][]): PolicyFinding[] {
  return analysePolicy(policy).findings.filter(({ kind }) => kinds.includes(kind));
}

describe('a policy with dated parameters', () => {
  const policy = policyWith({
    facts,
    parameters: {
      'notice days': {
        type: 'integer',
        values: [
          { from: '2024-01-01', value: 3 },
          { from: '2025-01-01', value: 3 },
          { from: '2026-07-01', value: 7 },
        ],
      },
    },
    decisions: [
      tableDecision(
        'told',
        ['days'],
        [
          ['IN', { days: '<= notice days' }, 'in time'],
          ['LATE', { days: '> 3' }, 'late'],
          ['NEVER', { days: 'null' }, 'never'],
        ],
      ),
    ],
  });

  it('says what is true in some periods only with its dates, and periods in which nothing differs together', () => {
    const gapPolicy = policyWith({
      ...policy.document,
      decisions: [
        tableDecision(
          'told',
          ['days'],
          [
            ['IN', { days: '<= notice days' }, 'in time'],
            ['LATE', { days: '> 7' }, 'late'],
            ['NEVER', { days: 'null' }, 'never'],
          ],
        ),
      ],
    });
    expect(found(gapPolicy, 'gap')).toMatchObject([
      {
        detail: 'No rule answers when days is 4 to 7.',
        period: { from: '2024-01-01', before: '2026-07-01' },
        region: [{ days: '[4..7]' }],
        example: { given: { days: 4 } },
      },
    ]);
  });

  it('says what is true at all times without dates', () => {
    expect(found(policy, 'gap')).toEqual([]);
    expect(analysePolicy(policy).clean).toBe(true);
  });

  it('asks claims of the right days only', () => {
    const wider = policyWith({
      ...policy.document,
      decisions: [
        tableDecision(
          'told',
          ['days'],
          [
            ['IN', { days: '<= notice days' }, 'in time'],
            ['NEVER', { days: 'null' }, 'never'],
          ],
        ),
      ],
    });
    const gaps = found(wider, 'gap');
    const counts = countClaims(wider, gaps, [
      { on: '2026-03-01', facts: { days: 5 } },
      { on: '2026-08-01', facts: { days: 5 } },
      { on: '2026-08-01', facts: { days: 9 } },
      { on: '2026-08-01', facts: {} },
      { on: '2026-08-01', facts: { days: 9, colour: 'red' } },
    ]);
    // By hand: 5 days lie in the gap while the notice days are 3, 9 days always; a claim whose days nobody knows lies nowhere.
    expect(counts.reduce((sum, count) => sum + count, 0)).toBe(3);
  });
});

describe('a rule for a span of days', () => {
  it('is not said never to hold, though it holds in one period only', () => {
    const policy = policyWith({
      parameters: {
        fee: {
          type: 'integer',
          values: [
            { from: '2010-01-01', value: 1 },
            { from: '2020-01-01', value: 2 },
          ],
        },
      },
      decisions: [
        tableDecision(
          'law',
          ['delivered on', 'fee'],
          [
            ['OLD', { 'delivered on': '< @"2020-01-01"' }, 'old'],
            ['NEW', { 'delivered on': '>= @"2020-01-01"' }, 'new'],
          ],
        ),
      ],
    });
    expect(found(policy, 'never holds', 'masked', 'gap')).toEqual([]);
  });
});

describe('decisions that read others', () => {
  const first = tableDecision(
    'notice',
    ['ground', 'days'],
    [
      ['N1', { ground: '"return"' }, 'in time'],
      ['N2', { days: '<= 5' }, 'in time'],
      ['N3', {}, 'late'],
    ],
    { values: ['in time', 'late', 'not given'] },
  );

  it('are looked at only where the earlier one can come', () => {
    const policy = policyWith({
      facts,
      decisions: [
        first,
        tableDecision(
          'answer',
          ['notice', 'ground'],
          [
            ['A1', { notice: '"in time"' }, 'carrier'],
            ['A2', { notice: '"late"', ground: '"damage"' }, 'maker'],
          ],
        ),
      ],
    });
    // "not given" is declared and never given; a late return cannot be, because N1 takes every return.
    expect(found(policy, 'gap')).toEqual([]);
    expect(found(policy, 'never given')).toMatchObject([
      { detail: 'No rule gives "notice" the declared value not given.' },
    ]);
  });

  it('have gaps shown by claims that really lead there', () => {
    const policy = policyWith({
      facts,
      decisions: [first, tableDecision('answer', ['notice'], [['A1', { notice: '"in time"' }, 'carrier']])],
    });
    const [gap] = found(policy, 'gap');
    expect(gap).toMatchObject({ decision: 'answer', detail: 'No rule answers when notice is late.' });
    const { on, given } = gap?.example ?? { on: '', given: {} };
    expect(policy.evaluate(on, given)).toMatchObject({ outcomes: { notice: 'late' }, noRule: ['answer'] });
    expect(gap && regionTest(policy, gap)(on, given)).toBe(true);
    expect(found(policy, 'never read')).toMatchObject([
      { detail: '"notice" can be late, and no cell of a later decision asks for that.' },
    ]);
  });

  it('have rules that never hold named with the place of the cell', () => {
    const policy = policyWith({
      facts,
      decisions: [
        first,
        tableDecision('answer', ['notice'], [['A1', { notice: '"not given"' }, 'carrier']], {
          otherwise: { answer: 'carrier' },
        }),
      ],
    });
    expect(found(policy, 'never holds')).toMatchObject([
      { severity: 'error', decision: 'answer', rules: ['A1'], column: 'notice', from: 0, to: 11 },
    ]);
  });
});

describe('exceptions', () => {
  const table = (overrides: Readonly<Record<string, readonly string[]>>) => {
    const decision = tableDecision(
      'remedy',
      ['ground', 'days'],
      [
        ['BASE', {}, 'repair'],
        ['EARLY', { days: '<= 30' }, 'refund'],
        ['RETURN', { ground: '"return"' }, 'none'],
      ],
      { hit: 'unique' },
    );
    const rules = decision.table?.rules.map((rule) => ({ ...rule, overrides: overrides[rule.id] ?? [] })) ?? [];
    return policyWith({ facts, decisions: [{ ...decision, table: { ...decision.table!, rules } }] });
  };

  it('contradict where two to one rule hold and neither gives way', () => {
    const policy = table({ EARLY: ['BASE'], RETURN: ['BASE'] });
    const overlaps = found(policy, 'overlap');
    expect(overlaps).toMatchObject([{ severity: 'error', rules: ['EARLY', 'RETURN'] }]);
    const { on, given } = overlaps[0]?.example ?? { on: '', given: {} };
    expect(() => policy.evaluate(on, given)).toThrow('EARLY and RETURN');
  });

  it('are clean where one is an exception to the other', () => {
    expect(analysePolicy(table({ EARLY: ['BASE'], RETURN: ['BASE', 'EARLY'] })).clean).toBe(true);
  });
});

describe('rules that add nothing', () => {
  it('are named as masked, redundant or mergeable', () => {
    const policy = policyWith({
      facts,
      decisions: [
        tableDecision(
          'band',
          ['days', 'ground'],
          [
            ['A', { days: '[0..10]' }, 'low'],
            ['B', { days: '[11..20]' }, 'low'],
            ['C', { days: '[5..15]' }, 'high'],
            ['D', { days: '> 90' }, 'rest'],
          ],
          { otherwise: { band: 'rest' } },
        ),
      ],
    });
    expect(found(policy, 'masked')).toMatchObject([{ rules: ['C', 'A', 'B'] }]);
    expect(found(policy, 'redundant')).toMatchObject([{ rules: ['D'], severity: 'warning' }]);
    expect(found(policy, 'could be one')).toMatchObject([{ rules: ['A', 'B'] }]);
  });
});

describe('what nothing reads', () => {
  it('is said in one sentence, and names inside other names are not mistaken', () => {
    const policy = policyWith({
      facts: { ...facts, 'days to notice': { type: 'integer' } },
      parameters: { spare: { type: 'integer', values: [{ from: '2020-01-01', value: 1 }] } },
      decisions: [
        tableDecision('told', ['days to notice'], [['T', { 'days to notice': '>= 0' }, 'yes']], {
          otherwise: { told: 'yes' },
        }),
      ],
    });
    expect(found(policy, 'unused').map(({ detail }) => detail)).toEqual([
      'Nothing in this policy reads the facts ground and days.',
      'Nothing in this policy reads the parameter spare; only the service itself may.',
    ]);
  });
});

describe('cells that compare a column with another fact', () => {
  const rules = [
    ['MORE', { days: '> limit' }, 'more'],
    ['LESS', { days: '<= limit' }, 'less'],
  ] as const;

  it('give no false gaps, and the analysis says that it did not look inside them', () => {
    const numbers = { days: { type: 'integer', min: 0 }, limit: { type: 'integer', min: 0 } } as const;
    const policy = policyWith({ facts: numbers, decisions: [tableDecision('side', ['days'], rules)] });
    expect(found(policy, 'gap')).toEqual([]);
    expect(found(policy, 'not proven')).toMatchObject([{ rules: ['MORE', 'LESS'] }]);
  });
});

describe('a table that is too large', () => {
  it('ends with a sentence', () => {
    const names = Array.from({ length: 10 }, (_, place) => `fact ${'abcdefghij'[place]}`);
    const numbers = Object.fromEntries(names.map((name) => [name, { type: 'integer', min: 0, max: 99 } as const]));
    const rules = Array.from({ length: 60 }, (_, rule): [string, Record<string, string>, string] => {
      const cells = names.filter((_, place) => (rule * 7 + place * 3) % 4 === 0);
      return [
        `R${rule}`,
        Object.fromEntries(cells.map((name, place) => [name, `>= ${(rule * 13 + place * 29) % 90}`])),
        'x',
      ];
    });
    const policy = policyWith({ facts: numbers, decisions: [tableDecision('wide', names, rules)] });
    const analysis = analyseTables(policy, tableSource(policy.document), 200);
    expect(analysis.findings.find(({ kind }) => kind === 'not proven')?.detail).toContain('too large to prove');
    expect(analysis.clean).toBe(false);
  });
});
