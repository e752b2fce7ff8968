import type { Fault } from '../kernel/outcome.js';
import { runExamples, type ExampleResult } from './domain/run-examples.js';
import { placeFaults } from './place-faults.js';
import { compilePolicy, type CompiledPolicy } from './policies.contract.js';

/** A finding of the analysis with its place in the document. */
export interface PlacedFinding {
  readonly severity: 'error' | 'warning' | 'information';
  readonly detail: string;
  /** JSON pointer into the document */
  readonly pointer: string;
}

/** Everything that can be said of a document without past claims. */
export interface Examination {
  /** The policy, where it can run. */
  readonly policy: CompiledPolicy | undefined;
  /** Why it cannot run. */
  readonly faults: readonly Fault[];
  readonly examples: readonly ExampleResult[];
  readonly findings: readonly PlacedFinding[];
}

/** Parses and checks a document, runs its examples and analyses its tables. @param document any JSON */
export function examineDocument(document: unknown): Examination {
  const outcome = compilePolicy(document);
  if (!outcome.ok) {
    return { policy: undefined, faults: placeFaults(document, outcome.faults), examples: [], findings: [] };
  }
  return { policy: outcome.policy, faults: [], examples: runExamples(outcome.policy), findings: [] };
}
