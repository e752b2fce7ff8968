import type { ExampleCoverage, MutationCheck, PolicyAnalysis, PolicyDifference } from '../../analysis.contract.js';
import type { CompiledPolicy } from '../../policies.contract.js';
import { analyseTables } from './analyse-policy.js';
import { diffPolicies } from './diff-policies.js';
import { exampleCoverage } from './example-coverage.js';
import { mutationCheck } from './mutation-check.js';
import { tableSource } from './table-source.js';

/**
 * Everything that can be said of a policy without a claim: cells that never hold, gaps, overlaps, masked and redundant rules, values
 * nobody gives or reads, for each parameter period. Few findings, each in one sentence with a claim that shows it.
 */
export function analysePolicy(policy: CompiledPolicy): PolicyAnalysis {
  return analyseTables(policy, tableSource(policy.document));
}

/** Everything in which one version of a policy differs from another: regions "was, becomes" exactly, the rest in sentences. */
export function comparePolicies(was: CompiledPolicy, becomes: CompiledPolicy): PolicyDifference {
  return diffPolicies(
    { policy: was, tables: tableSource(was.document) },
    { policy: becomes, tables: tableSource(becomes.document) },
  );
}

/** Which rules and boundaries the examples try, and examples that would try the rest. */
export function coverageOf(policy: CompiledPolicy): ExampleCoverage {
  return exampleCoverage(policy, tableSource(policy.document));
}

/**
 * Whether the examples would notice a policy that is written slightly wrong.
 * @param most changes that are tried
 * @throws RangeError when an example fails already
 */
export function mutationCheckOf(policy: CompiledPolicy, most?: number): MutationCheck {
  return mutationCheck(policy, tableSource, most);
}
