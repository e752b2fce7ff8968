import {
  compilePolicy,
  type CompiledPolicy,
  type PolicyDecision,
  type PolicyDocument,
  type PolicyTable,
} from '../../src/policies/policies.contract.js';

/** A policy around the parts that a test is about. */
export function policyWith(parts: Partial<PolicyDocument>): CompiledPolicy {
  const outcome = compilePolicy(documentWith(parts));
  if (outcome.ok) return outcome.policy;
  throw new Error(JSON.stringify(outcome.faults));
}

export function documentWith(parts: Partial<PolicyDocument>): PolicyDocument {
  return {
    format: 'policy/1',
    id: 'test-policy',
    title: 'Policy of a test',
    jurisdiction: 'US',
    caution: 'For tests only.',
    governedBy: 'delivered on',
    zone: 'America/New_York',
    money: { currency: 'USD', scale: 2, rounding: 'half up' },
    parameters: {},
    decisions: [],
    examples: [],
    ...parts,
    facts: { 'delivered on': { type: 'date' }, ...parts.facts },
  };
}

/** A decision with one outcome `answer` and rules written as `[id, cells, answer]`; columns are the facts of the same name. */
export function tableDecision(
  id: string,
  columns: readonly string[],
  rules: readonly (readonly [string, Readonly<Record<string, string>>, string])[],
  more: Partial<PolicyTable> & { readonly values?: readonly string[] } = {},
): PolicyDecision {
  const { values = [...new Set(rules.map(([, , answer]) => answer))], ...table } = more;
  return {
    id,
    gives: { [id]: { type: 'enum', values } },
    table: {
      hit: 'first',
      columns: Object.fromEntries(columns.map((column) => [column, column])),
      // oxlint-disable-next-line unicorn/no-thenable -- `then` is a key of the document format; rules are never awaited.
      rules: rules.map(([rule, when, answer]) => ({ id: rule, when, then: { [id]: answer } })),
      ...table,
    },
  };
}
