import type { CompiledPolicy, Evaluation, OutcomeValue, PolicyExample } from '../policies.contract.js';
import { PolicyConflict } from './policy-conflict.js';
import { Decimal } from './values.js';

/** How one example of a policy came out. */
export interface ExampleResult {
  readonly id: string;
  readonly passed: boolean;
  /** One sentence for each expectation that was not met. */
  readonly differences: readonly string[];
  /** Ids of the rules that fired; `decision: otherwise` where no rule of the table did. */
  readonly fired: readonly string[];
}

/** Runs every example of a policy. */
export function runExamples(policy: CompiledPolicy): ExampleResult[] {
  return policy.document.examples.map((example) => runExample(policy, example));
}

function runExample(policy: CompiledPolicy, example: PolicyExample): ExampleResult {
  const result = evaluated(policy, example);
  if (typeof result === 'string') return { id: example.id, passed: false, differences: [result], fired: [] };
  const differences = Object.entries(example.expect).flatMap(([name, expected]) => difference(name, expected, result));
  const fired = result.fired.map(({ decision, rule }) => (rule === 'otherwise' ? `${decision}: otherwise` : rule));
  return { id: example.id, passed: differences.length === 0, differences, fired };
}

/** The evaluation, or a sentence that says why there is none. */
function evaluated(policy: CompiledPolicy, { on, given, decisions }: PolicyExample): Evaluation | string {
  try {
    return policy.evaluate(on, given, decisions);
  } catch (error) {
    if (error instanceof PolicyConflict) return error.message;
    if (error instanceof RangeError) return `It cannot be run: ${error.message}.`;
    throw error;
  }
}

function difference(name: string, expected: OutcomeValue | readonly string[], result: Evaluation): string[] {
  const got = name === 'needs' ? factsNeeded(result) : name === 'no rule' ? result.noRule : result.outcomes[name];
  if (same(expected, got)) return [];
  const shown = got === undefined ? 'nothing' : JSON.stringify(got);
  return [`${name} should be ${JSON.stringify(expected)} and is ${shown}.`];
}

/** Facts needed by any decision, each once, most useful first. */
function factsNeeded(result: Evaluation): string[] {
  return [...new Set(result.needs.map(({ fact }) => fact))];
}

function same(expected: OutcomeValue | readonly string[], got: OutcomeValue | readonly string[] | undefined): boolean {
  if (Array.isArray(expected) || Array.isArray(got)) return JSON.stringify(expected) === JSON.stringify(got);
  if (typeof expected === 'string' && typeof got === 'string' && NUMBER.test(expected) && NUMBER.test(got)) {
    return new Decimal(expected).equals(got);
  }
  return expected === got;
}
const NUMBER = /^-?\d+(\.\d+)?$/;
