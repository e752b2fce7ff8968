import {
  compilePolicy,
  type CompiledPolicy,
  type FactType,
  type Facts,
  type OutcomeValue,
  type PolicyDecision,
  type PolicyDocument,
  type PolicyFault,
  type PolicyRule,
} from '../../src/policies/policies.contract.js';

/** Facts of every type, for tests of the rule language. */
export const FACTS: Readonly<Record<string, FactType>> = {
  part: { type: 'enum', values: ['carton', 'leg', 'motor'] },
  noted: { type: 'boolean' },
  days: { type: 'integer' },
  'price paid': { type: 'decimal' },
  'part price': { type: 'decimal', optional: true },
  'delivered on': { type: 'date' },
  spoken: { type: 'text' },
  colour: { type: 'enum', values: ['oak', 'white'], optional: true },
};

/** A policy document with these decisions and honest defaults for the rest. */
export function smallDocument(
  decisions: readonly PolicyDecision[],
  over: Partial<PolicyDocument> = {},
): PolicyDocument {
  return {
    format: 'policy/1',
    id: 'small',
    title: 'A policy for tests',
    jurisdiction: 'DE',
    caution: 'For tests only.',
    governedBy: 'delivered on',
    zone: 'Europe/Berlin',
    money: { currency: 'EUR', scale: 2, rounding: 'half even' },
    facts: FACTS,
    parameters: {
      'notice days': {
        type: 'integer',
        values: [
          { from: '2024-01-01', value: 3 },
          { from: '2026-07-01', value: 7 },
        ],
      },
    },
    decisions,
    examples: [],
    ...over,
  };
}

/** Compiles a document that must be right. */
export function ready(document: PolicyDocument): CompiledPolicy {
  const outcome = compilePolicy(document);
  if (!outcome.ok) throw new Error(JSON.stringify(outcome.faults));
  return outcome.policy;
}

/** A rule of a table. */
export function rule(
  id: string,
  when: PolicyRule['when'],
  outcomes: Readonly<Record<string, OutcomeValue>>,
): PolicyRule {
  // oxlint-disable-next-line unicorn/no-thenable -- `then` is a key of the document format; a rule is never awaited.
  return { id, when, then: outcomes };
}

/** A decision `hit` that answers "yes" where one cell over one column holds, "no" otherwise. */
export function oneCell(column: string, cell: string): PolicyDecision {
  return {
    id: 'hit',
    gives: { hit: { type: 'enum', values: ['yes', 'no'] } },
    table: {
      hit: 'first',
      columns: { c: column },
      rules: [rule('R1', { c: cell }, { hit: 'yes' })],
      otherwise: { hit: 'no' },
    },
  };
}

/** Whether a cell over a column holds for facts: "yes", "no", or the facts that are needed. */
export function holds(column: string, cell: string, facts: Facts, on = '2026-03-01'): OutcomeValue | readonly string[] {
  const result = ready(smallDocument([oneCell(column, cell)])).evaluate(on, facts);
  return result.outcomes['hit'] ?? result.needs.map(({ fact }) => fact);
}

/** Value of an expression of a type, or the facts that are needed, or `no rule`. */
export function value(text: string, type: FactType, facts: Facts = {}): OutcomeValue | readonly string[] {
  const result = ready(smallDocument([{ id: 'x', gives: { x: type }, expression: text }])).evaluate(
    '2026-03-01',
    facts,
  );
  if (result.noRule.includes('x')) return 'no rule';
  return 'x' in result.outcomes ? (result.outcomes['x'] ?? null) : result.needs.map(({ fact }) => fact);
}

/** The faults of a document that must not compile. */
export function faultsOf(document: unknown): readonly PolicyFault[] {
  const outcome = compilePolicy(document);
  if (outcome.ok) throw new Error('the document compiles');
  return outcome.faults;
}

/** The one fault of a cell that must not compile, with the text that its range points at. */
export function cellFault(column: string, cell: string): { detail: string; at: string } {
  return onlyFault(faultsOf(smallDocument([oneCell(column, cell)])), cell);
}

/** The one fault of an expression that must not compile. */
export function expressionFault(text: string, type: FactType = { type: 'decimal' }): { detail: string; at: string } {
  return onlyFault(faultsOf(smallDocument([{ id: 'x', gives: { x: type }, expression: text }])), text);
}

function onlyFault(faults: readonly PolicyFault[], text: string): { detail: string; at: string } {
  const [fault] = faults;
  if (!fault || faults.length > 1) throw new Error(`one fault expected: ${JSON.stringify(faults)}`);
  return { detail: fault.detail, at: text.slice(fault.from, fault.to) };
}
