import { describe, expect, it } from 'vitest';
import { policyWith, tableDecision } from '../../../../tests/support/table-policy.js';
import { coverageOf, mutationCheckOf } from '../../analysis.contract.js';
import { compilePolicy, type CompiledPolicy, type PolicyExample } from '../../policies.contract.js';

const facts = {
  days: { type: 'integer', min: 0, max: 100 },
  ground: { type: 'enum', values: ['damage', 'return'] },
} as const;
const parameters = { 'notice days': { type: 'integer', values: [{ from: '2020-01-01', value: 7 }] } } as const;
const decisions = [
  tableDecision(
    'notice',
    ['days', 'ground'],
    [
      ['RET', { ground: '"return"' }, 'not needed'],
      ['IN', { days: '<= notice days' }, 'in time'],
    ],
    { otherwise: { notice: 'late' }, values: ['not needed', 'in time', 'late'] },
  ),
];

/** By hand: the last day in time is the 7th, and the first day late the 8th. */
const example = (id: string, days: number, ground: string, notice: string): PolicyExample => ({
  id,
  on: '2026-03-01',
  given: { days, ground },
  expect: { notice },
});
const policyOf = (examples: readonly PolicyExample[]): CompiledPolicy =>
  policyWith({ facts, parameters, decisions, examples });
const ALL = [
  example('returned', 3, 'return', 'not needed'),
  example('returned late', 50, 'return', 'not needed'),
  example('last day', 7, 'damage', 'in time'),
  example('first day late', 8, 'damage', 'late'),
];

describe('coverage', () => {
  it('counts rules, the rest, and both sides of every end', () => {
    const { decisions: found, rulesPercent, boundariesPercent, candidates } = coverageOf(policyOf([ALL[0]!, ALL[2]!]));
    expect(found).toMatchObject([
      {
        decision: 'notice',
        rules: 3,
        rulesHit: 2,
        neverHit: ['otherwise'],
        sides: 2,
        sidesTouched: 1,
        untouched: [{ column: 'days', words: 'between 7 and 8', side: 'above' }],
      },
    ]);
    expect([rulesPercent, boundariesPercent]).toEqual([66, 50]);
    expect(candidates).toMatchObject([{ given: { days: 8, ground: 'damage' }, expect: { notice: 'late' } }]);
  });

  it('is whole with candidates taken in, and they pass', () => {
    const policy = policyOf([]);
    const { candidates } = coverageOf(policy);
    const filled = policyOf(candidates);
    expect(coverageOf(filled)).toMatchObject({ rulesPercent: 100, boundariesPercent: 100, candidates: [] });
    const ids = candidates.map(({ id }) => id);
    expect(new Set(ids).size).toBe(ids.length);
    expect(mutationCheckOf(filled).tried).toBeGreaterThan(0);
  });

  it('touches ends of calculated columns', () => {
    const priced = policyWith({
      facts: { price: { type: 'decimal', min: '1', scale: 2 }, part: { type: 'decimal', min: '0', scale: 2 } },
      decisions: [
        {
          id: 'dear',
          gives: { dear: { type: 'boolean' } },
          table: {
            hit: 'first',
            columns: { share: 'part / price' },
            // oxlint-disable-next-line unicorn/no-thenable -- `then` is a key of the document format; rules are never awaited.
            rules: [{ id: 'D1', when: { share: '> 0.4' }, then: { dear: true } }],
            otherwise: { dear: false },
          },
        },
      ],
      examples: [{ id: 'at the end', on: '2026-03-01', given: { price: '100', part: '40' }, expect: { dear: false } }],
    });
    expect(coverageOf(priced).decisions).toMatchObject([{ sides: 2, sidesTouched: 1, untouched: [{ side: 'above' }] }]);
  });
});

describe('the mutation check', () => {
  it('finds that good examples notice everything that makes a difference', () => {
    const check = mutationCheckOf(policyOf(ALL));
    expect(check.survivors).toEqual([]);
    expect(check.noticed).toBe(check.tried);
    expect(check.tried).toBeGreaterThanOrEqual(6);
  });

  it('names what goes unnoticed in words, with an example that would notice', () => {
    const { survivors } = mutationCheckOf(policyOf(ALL.slice(0, 3)));
    // Without the first late day nothing says that 8 days are too many, nor what holds then.
    expect(survivors.map(({ detail }) => detail)).toEqual([
      'notice/IN/days: the condition <= notice days can be left out, and no example notices.',
      'notice/otherwise: "otherwise" can give notice not needed in place of late, and no example notices.',
      'notice: the parameter "notice days" can be 8 in place of 7 since 2020-01-01, and no example notices.',
    ]);
    const candidate = survivors[0]?.candidate;
    expect(candidate).toMatchObject({ expect: { notice: 'late' } });
    expect(
      mutationCheckOf(policyOf([...ALL.slice(0, 3), candidate!])).survivors.map(({ detail }) => detail),
    ).not.toContain(survivors[0]?.detail);
  });

  it('does not hold against the examples what makes no difference for any claim', () => {
    const outcome = compilePolicy({
      ...policyOf(ALL).document,
      decisions: [
        tableDecision(
          'notice',
          ['days', 'ground'],
          [
            ['RET', { ground: '"return"' }, 'not needed'],
            ['IN', { days: '<= notice days', ground: '"damage"' }, 'in time'],
          ],
          { otherwise: { notice: 'late' }, values: ['not needed', 'in time', 'late'] },
        ),
      ],
    });
    if (!outcome.ok) throw new Error(JSON.stringify(outcome.faults));
    // Behind RET every ground is damage, so the second cell of IN says nothing.
    expect(mutationCheckOf(outcome.policy)).toMatchObject({ equivalent: 1, survivors: [] });
  });

  it('stops at a number of changes and says how many it left out', () => {
    const check = mutationCheckOf(policyOf(ALL), 2);
    expect(check.tried + check.equivalent).toBe(2);
    expect(check.leftOut).toBeGreaterThan(0);
  });

  it('refuses while an example fails', () => {
    expect(() => mutationCheckOf(policyOf([example('wrong', 1, 'damage', 'late')]))).toThrow('the example wrong fails');
  });
});
