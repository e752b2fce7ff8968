import { describe, expect, it } from 'vitest';
import { policyWith, tableDecision } from '../../../../tests/support/table-policy.js';
import { changeTest, comparePolicies } from '../../analysis.contract.js';
import type { CompiledPolicy, PolicyDecision, PolicyDocument } from '../../policies.contract.js';

const facts = {
  days: { type: 'integer', min: 0, max: 100 },
  ground: { type: 'enum', values: ['damage', 'return'] },
} as const;
const rules = [
  ['IN', { days: '<= 30' }, 'accept'],
  ['OUT', { days: '> 30' }, 'decline'],
] as const;
const policyOf = (decision: PolicyDecision, parts: Partial<PolicyDocument> = {}): CompiledPolicy =>
  policyWith({ facts, decisions: [decision], ...parts });
const before = policyOf(tableDecision('answer', ['days'], rules));

describe('two versions of a policy', () => {
  it('that are the same have no difference', () => {
    expect(comparePolicies(before, before)).toEqual({ changes: [], sentences: [], incomplete: [] });
  });

  it('differ where a boundary moved, and nowhere where rows only changed places', () => {
    const after = policyOf(
      tableDecision(
        'answer',
        ['days'],
        [
          ['OUT', { days: '> 14' }, 'decline'],
          ['IN', { days: '<= 14' }, 'accept'],
        ],
      ),
    );
    const { changes } = comparePolicies(before, after);
    expect(changes).toMatchObject([
      {
        decision: 'answer',
        was: { rules: ['IN'], outcomes: { answer: 'accept' } },
        becomes: { rules: ['OUT'], outcomes: { answer: 'decline' } },
        detail: 'answer: when days is 15 to 30: was answer accept (IN), becomes answer decline (OUT).',
        region: [{ days: '[15..30]' }],
        example: { given: { days: 15 } },
      },
    ]);
    const test = changeTest(before, after, changes[0]!);
    expect([14, 15, 30, 31].map((days) => test('2026-03-01', { days }))).toEqual([false, true, true, false]);
  });

  it('are compared over the columns of both', () => {
    const after = policyOf(
      tableDecision('answer', ['days', 'ground'], [['RET', { ground: '"return"' }, 'ask'], ...rules], {
        values: ['accept', 'decline', 'ask'],
      }),
    );
    const { changes, sentences } = comparePolicies(before, after);
    expect(changes.map(({ detail }) => detail)).toEqual([
      'answer: when days is 30 or less and ground is return: was answer accept (IN), becomes answer ask (RET).',
      'answer: when days is 31 or more and ground is return: was answer decline (OUT), becomes answer ask (RET).',
    ]);
    expect(sentences).toContain('The decision "answer" now also looks at ground.');
    expect(sentences).toContain('The decision "answer" has the new rule RET.');
    // The other way round the column is gone.
    expect(comparePolicies(after, before).changes.map(({ region }) => region)).toEqual(
      changes.map(({ region }) => region),
    );
  });

  it('take columns for the same that read the same, whatever they are called', () => {
    const decision = tableDecision('answer', ['days'], rules);
    const renamed = policyOf({
      ...decision,
      table: {
        ...decision.table!,
        columns: { age: 'days' },
        rules: decision.table!.rules.map((rule) => ({ ...rule, when: { age: rule.when['days'] ?? '-' } })),
      },
    });
    expect(comparePolicies(before, renamed).changes).toEqual([]);
  });

  it('differ since the day on which a parameter changes', () => {
    const dated = (values: readonly { readonly from: string; readonly value: number }[]) =>
      policyOf(
        tableDecision(
          'answer',
          ['days'],
          [
            ['IN', { days: '<= window' }, 'accept'],
            ['OUT', { days: '> window' }, 'decline'],
          ],
        ),
        { parameters: { window: { type: 'integer', values } } },
      );
    const was = dated([{ from: '2020-01-01', value: 30 }]);
    const becomes = dated([
      { from: '2020-01-01', value: 30 },
      { from: '2026-07-01', value: 14 },
    ]);
    const { changes, sentences } = comparePolicies(was, becomes);
    expect(changes).toMatchObject([{ period: { from: '2026-07-01' }, region: [{ days: '[15..30]' }] }]);
    expect(sentences).toEqual(['The parameter "window" changes to 14 on 2026-07-01.']);
    const test = changeTest(was, becomes, changes[0]!);
    expect([test('2026-06-30', { days: 20 }), test('2026-07-01', { days: 20 })]).toEqual([false, true]);
  });

  it('have equal comparisons with other facts taken for equal', () => {
    const open = (answer: string) =>
      policyWith({
        facts: { ...facts, limit: { type: 'integer', min: 0 } },
        decisions: [
          tableDecision(
            'answer',
            ['days', 'ground'],
            [
              ['RET', { ground: '"return"' }, answer],
              ['MORE', { days: '> limit' }, 'decline'],
            ],
            { otherwise: { answer: 'accept' }, values: ['accept', 'decline', 'ask'] },
          ),
        ],
      });
    const { changes } = comparePolicies(open('accept'), open('ask'));
    expect(changes).toMatchObject([{ region: [{ ground: '"return"' }], was: { rules: ['RET'] } }]);
    expect(changes).toHaveLength(1);
  });

  it('are told apart in sentences where no table can show it', () => {
    const clock = {
      id: 'C1',
      title: 'Answer',
      ground: 'house rule',
      source: 'house rule',
      starts: 'filed',
      length: 10,
      unit: 'calendar days',
      stops: 'decided',
      lapse: 'internal',
      owedBy: 'service',
    } as const;
    const amount = (expression: string): PolicyDecision => ({
      id: 'amount',
      gives: { amount: { type: 'decimal' } },
      expression,
    });
    const was = policyWith({ facts, decisions: [amount('days * 2')], clocks: [clock] });
    const becomes = policyWith({
      facts: { ...facts, ground: { type: 'enum', values: ['damage', 'return', 'shortage'] } },
      decisions: [amount('days * 3')],
      clocks: [{ ...clock, length: 14 }],
      title: 'Another title',
    });
    expect(comparePolicies(was, becomes).sentences).toEqual([
      '"title" was "Policy of a test" and becomes "Another title".',
      'The fact "ground" can now also be shortage.',
      'The decision "amount" was worked out as days * 2 and becomes days * 3.',
      'The clock "C1": "length" was 10 and becomes 14.',
    ]);
  });
});
