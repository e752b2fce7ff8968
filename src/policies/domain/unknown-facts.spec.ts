import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { ready, rule, smallDocument } from '../../../tests/support/small-policy.js';
import type {
  CompiledPolicy,
  Evaluation,
  FactType,
  Facts,
  PolicyDecision,
  PolicyRule,
  PolicyTable,
} from '../policies.contract.js';
import { PolicyConflict } from './policy-conflict.js';

/** Small domains, so that every completion of a set of facts can be tried. */
const DOMAINS: Readonly<
  Record<string, { readonly type: FactType; readonly all: Facts[string][]; readonly cells: string[] }>
> = {
  part: {
    type: { type: 'enum', values: ['a', 'b', 'c'], optional: true },
    all: ['a', 'b', 'c', null],
    cells: ['-', '"a"', '"a", "b"', 'not("c")', 'null', 'not(null)', '!= "b"'],
  },
  noted: {
    type: { type: 'boolean' },
    all: [true, false],
    cells: ['-', 'true', 'false', 'not(true)', '? = (days > 1)'],
  },
  days: {
    type: { type: 'integer', min: 0, max: 3, optional: true },
    all: [0, 1, 2, 3, null],
    cells: [
      '-',
      '0',
      '< 2',
      '>= 2',
      '[1..2]',
      '(0..3)',
      'not(1, 3)',
      '<= limit',
      'not([0..limit])',
      '? > 0 and ? < limit',
    ],
  },
  limit: { type: { type: 'integer', min: 0, max: 2 }, all: [0, 1, 2], cells: ['-', '1', '> 0', '< days'] },
};
const NAMES = Object.keys(DOMAINS);

/** Hundreds of policies are compiled in each; on a busy machine the default time is too short. */
const SLOW = { timeout: 60_000 };

/** Every way to give the facts that are still open. */
function completions(facts: Facts): Facts[] {
  return NAMES.filter((name) => !Object.hasOwn(facts, name)).reduce<Facts[]>(
    (soFar, name) => soFar.flatMap((given) => (DOMAINS[name]?.all ?? []).map((one) => ({ ...given, [name]: one }))),
    [facts],
  );
}

const outcomes = fc.constantFrom('x', 'y', 'z');
const ruleArb = (id: string, columns: readonly string[]): fc.Arbitrary<PolicyRule> =>
  fc
    .tuple(fc.tuple(...columns.map((name) => fc.constantFrom(...(DOMAINS[name]?.cells ?? ['-'])))), outcomes)
    .map(([cells, out]) =>
      rule(id, Object.fromEntries(columns.map((name, i) => [name, cells[i] ?? '-'])), {
        [id.startsWith('S') ? 'second' : 'out']: out,
      }),
    );

const tableArb = (gives: 'out' | 'second', columns: readonly string[]): fc.Arbitrary<PolicyDecision> =>
  fc
    .record({
      hit: fc.constantFrom<'first' | 'unique'>('first', 'first', 'unique'),
      rules: fc.integer({ min: 1, max: 5 }).chain((n) => {
        const prefix = gives === 'second' ? 'S' : 'R';
        return fc.tuple(...Array.from({ length: n }, (_, i) => ruleArb(`${prefix}${i}`, columns)));
      }),
      otherwise: fc.option(outcomes, { nil: undefined }),
    })
    .map(({ hit, rules, otherwise }) => ({
      id: gives,
      gives: { [gives]: { type: 'enum', values: ['x', 'y', 'z'] } },
      table: {
        hit,
        columns: Object.fromEntries(columns.map((name) => [name, name])),
        rules,
        ...(otherwise === undefined ? {} : { otherwise: { [gives]: otherwise } }),
      },
    }));

const policyArb = fc
  .record({
    first: tableArb('out', NAMES),
    second: tableArb('second', ['noted', 'days']),
    bridge: fc.constantFrom('"x"', 'not("x")', '"y", "z"'),
  })
  .map(({ first, second, bridge }) => {
    const { table } = second;
    // The second decision reads the first one's outcome in its first rule.
    const rules = (table?.rules ?? []).map((rule, i) =>
      i === 0 ? { ...rule, when: { ...rule.when, out: bridge } } : rule,
    );
    const chained = {
      ...second,
      table: { ...table, columns: { ...table?.columns, out: 'out' }, rules } as PolicyTable,
    };
    const facts = {
      ...Object.fromEntries(NAMES.map((name) => [name, DOMAINS[name]?.type ?? { type: 'text' }] as const)),
      'delivered on': { type: 'date' },
    } as Readonly<Record<string, FactType>>;
    return ready(smallDocument([first, chained], { facts, parameters: {} }));
  });

const factsArb: fc.Arbitrary<Facts> = fc
  .tuple(...NAMES.map((name) => fc.option(fc.constantFrom(...(DOMAINS[name]?.all ?? [])), { nil: undefined, freq: 1 })))
  .map((values) =>
    Object.fromEntries(
      NAMES.flatMap((name, i) => (values[i] === undefined ? [] : [[name, values[i] ?? null] as const])),
    ),
  );

/** An evaluation, or undefined where two rules of a unique table hold. */
function run(policy: CompiledPolicy, facts: Facts): Evaluation | undefined {
  try {
    return policy.evaluate('2026-03-01', facts);
  } catch (error) {
    if (error instanceof PolicyConflict) return undefined;
    throw error;
  }
}

describe('random small tables', () => {
  // Checked by brute force: every completion of the facts that are open is tried.
  it('never give an answer that some completion contradicts, and never call an open decision closed', SLOW, () => {
    let decidedEarly = 0;
    fc.assert(
      fc.property(policyArb, factsArb, (policy, facts) => {
        const early = run(policy, facts);
        if (!early) return;
        for (const full of completions(facts)) {
          const late = run(policy, full);
          if (!late) continue;
          const contradicted = [
            ...Object.keys(early.outcomes).filter((name) => late.outcomes[name] !== early.outcomes[name]),
            ...early.noRule.filter((id) => !late.noRule.includes(id)),
            ...late.needs.map(({ fact }) => fact),
          ];
          if (contradicted.length > 0) expect({ facts, full, contradicted }).toEqual({ facts, full, contradicted: [] });
        }
        if (Object.keys(facts).length < NAMES.length && 'out' in early.outcomes) decidedEarly += 1;
      }),
      { numRuns: 400 },
    );
    expect(decidedEarly).toBeGreaterThan(20);
  });

  it('ask only for facts that nobody gave, and settle once all are given', SLOW, () => {
    fc.assert(
      fc.property(policyArb, factsArb, (policy, facts) => {
        const result = run(policy, facts);
        for (const { fact } of result?.needs ?? []) expect(Object.hasOwn(facts, fact)).toBe(false);
      }),
      { numRuns: 300 },
    );
  });

  it('do not look at the order in which facts are given', SLOW, () => {
    fc.assert(
      fc.property(policyArb, factsArb, (policy, facts) => {
        const turned = Object.fromEntries(Object.entries(facts).toReversed());
        expect(run(policy, turned)).toEqual(run(policy, facts));
      }),
      { numRuns: 300 },
    );
  });
});
