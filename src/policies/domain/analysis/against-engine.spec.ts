import { describe, expect, it } from 'vitest';
import { chance, pointsOf, randomTable, type PlainTable } from '../../../../tests/support/random-tables.js';
import { policyWith, tableDecision } from '../../../../tests/support/table-policy.js';
import { analysePolicy, changeTest, comparePolicies, regionTest } from '../../analysis.contract.js';
import type { CompiledPolicy, Facts, FactType } from '../../policies.contract.js';

/** The analysis is compared with running the policy for every claim there is: small random policies over enums and whole numbers. */
const POLICIES = 80;
const DAY = '2026-03-01';
const NAMES = ['fact a', 'fact b', 'fact c', 'fact d'];

const letter = (atom: number): string => 'pqrstuvwx'[atom] ?? '';
const factOf = (axis: PlainTable['axes'][number]): FactType =>
  axis.ordered
    ? { type: 'integer', min: 0, max: axis.size - 1 }
    : { type: 'enum', values: Array.from({ length: axis.size }, (_, atom) => letter(atom)) };

function policyOf(table: PlainTable): CompiledPolicy {
  const facts = Object.fromEntries(table.axes.map((axis, place) => [NAMES[place]!, factOf(axis)]));
  const rules = table.accepts.flatMap((accepts, rule): [string, Record<string, string>, string][] => {
    if (accepts.some((atoms) => atoms?.length === 0)) return [];
    const cells = accepts.flatMap((atoms, axis) =>
      atoms
        ? [[NAMES[axis]!, atoms.map((atom) => (table.axes[axis]?.ordered ? atom : `"${letter(atom)}"`)).join(', ')]]
        : [],
    );
    return [[`R${rule}`, Object.fromEntries(cells) as Record<string, string>, table.outcomes[rule] ?? '']];
  });
  const columns = table.axes.map((_, place) => NAMES[place]!);
  const hit = table.choice === 'unique' || table.choice === 'any' ? table.choice : 'first';
  return policyWith({
    facts,
    decisions: [
      tableDecision('answer', columns, rules.length > 0 ? rules : [['R', {}, 'yes']], {
        hit,
        values: ['yes', 'no', 'ask', 'edited'],
        ...(table.otherwise === undefined ? {} : { otherwise: { answer: table.otherwise } }),
      }),
    ],
  });
}

function* claimsOf(table: PlainTable): Generator<Facts> {
  for (const point of pointsOf(table.axes)) {
    yield Object.fromEntries(
      point.map((atom, axis) => [NAMES[axis]!, table.axes[axis]?.ordered ? atom : letter(atom)]),
    );
  }
}

/** What the engine says: an outcome and its rule, `no rule`, or `conflict`. */
function said(policy: CompiledPolicy, facts: Facts): { readonly outcome: string; readonly rule: string } {
  try {
    const { outcomes, fired, noRule } = policy.evaluate(DAY, facts);
    if (noRule.length > 0) return { outcome: 'no rule', rule: '' };
    return { outcome: String(outcomes['answer']), rule: fired[0]?.rule ?? '' };
  } catch (error) {
    if (error instanceof Error && error.name !== 'RangeError') return { outcome: 'conflict', rule: '' };
    throw error;
  }
}

describe(`${POLICIES} random policies`, { timeout: 60_000 }, () => {
  it('have the gaps, conflicts and masked rules that the engine shows', () => {
    for (let seed = 1; seed <= POLICIES; seed += 1) {
      const table = randomTable(chance(seed * 31));
      const policy = policyOf(table);
      const { findings, more } = analysePolicy(policy);
      expect(more).toEqual([]);
      const tests = (kind: string, severity: string) =>
        findings
          .filter((each) => each.kind === kind && each.severity === severity)
          .map((each) => regionTest(policy, each));
      const [gaps, conflicts] = [tests('gap', 'warning'), tests('overlap', 'error')];
      const fired = new Set<string>();
      const wrong: unknown[] = [];
      for (const facts of claimsOf(table)) {
        const { outcome, rule } = said(policy, facts);
        fired.add(rule);
        const inGap = gaps.some((test) => test(DAY, facts));
        const inConflict = conflicts.some((test) => test(DAY, facts));
        if (inGap !== (outcome === 'no rule') || inConflict !== (outcome === 'conflict')) wrong.push(facts);
      }
      expect(wrong, JSON.stringify(policy.document.decisions)).toEqual([]);
      if (policy.document.decisions[0]?.table?.hit !== 'first') continue;
      const silent = policy.document.decisions[0].table.rules.map(({ id }) => id).filter((id) => !fired.has(id));
      const useless = findings
        .filter(({ kind }) => kind === 'masked' || kind === 'never holds')
        .map(({ rules }) => rules[0]);
      expect(new Set(useless), JSON.stringify(policy.document.decisions)).toEqual(new Set(silent));
    }
  });

  it('differ exactly for the claims for which the engine comes to something else', () => {
    for (let seed = 1; seed <= POLICIES; seed += 1) {
      const random = chance(seed * 97);
      const first = randomTable(random);
      const second =
        random() < 0.4 ? randomTable(random, first.axes) : { ...first, outcomes: first.outcomes.with(0, 'edited') };
      const [was, becomes] = [policyOf(first), policyOf(second)];
      const { changes, incomplete } = comparePolicies(was, becomes);
      expect(incomplete).toEqual([]);
      const tests = changes.map((change) => changeTest(was, becomes, change));
      const wrong: unknown[] = [];
      for (const facts of claimsOf(first)) {
        const [before, after] = [said(was, facts).outcome, said(becomes, facts).outcome];
        const inside = changes.filter((_, place) => tests[place]?.(DAY, facts));
        const expected = before === after ? 0 : 1;
        const named = inside.every((change) => sideIs(change.was, before) && sideIs(change.becomes, after));
        if (inside.length !== expected || !named) wrong.push({ facts, before, after, inside });
      }
      expect(wrong, JSON.stringify([was.document.decisions, becomes.document.decisions])).toEqual([]);
    }
  });
});

function sideIs(side: { readonly words: string; readonly outcomes?: unknown }, outcome: string): boolean {
  if (outcome === 'conflict') return side.words.startsWith('a contradiction');
  return outcome === 'no rule'
    ? side.words === 'no rule'
    : JSON.stringify(side.outcomes) === JSON.stringify({ answer: outcome });
}
