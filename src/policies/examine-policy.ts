import { contentHash } from '../kernel/canonical-json.js';
import type { Fault } from '../kernel/outcome.js';
import { BoundedCache } from '../platform/documents/bounded-cache.js';
import {
  analysePolicy,
  coverageOf,
  runExamples,
  type ExampleCoverage,
  type ExampleResult,
  type PolicyAnalysis,
  type PolicyFinding,
} from './analysis.contract.js';
import { placeFaults } from './place-faults.js';
import { compilePolicy, type CompiledPolicy } from './policies.contract.js';

/** A finding of the analysis with its place in the document. */
export interface PlacedFinding extends PolicyFinding {
  /** JSON pointer into the document */
  readonly pointer: string;
}

/** Everything that can be said of a document without past claims. */
export interface Examination {
  /** Why it cannot run; empty where it can. */
  readonly faults: readonly Fault[];
  readonly examples: readonly ExampleResult[];
  /** What follows is there only where it can run. */
  readonly policy?: CompiledPolicy;
  readonly analysis?: Omit<PolicyAnalysis, 'findings'> & { readonly findings: readonly PlacedFinding[] };
  readonly coverage?: ExampleCoverage;
}

/** Documents that were looked at last; a draft is looked at several times before it is approved. */
const EXAMINED = new BoundedCache<Examination>(32);

/** Parses and checks a document, runs its examples and analyses its tables. @param document any JSON */
export function examineDocument(document: unknown): Examination {
  return EXAMINED.get(contentHash(document), () => examined(document));
}

function examined(document: unknown): Examination {
  const outcome = compilePolicy(document);
  if (!outcome.ok) return { faults: placeFaults(document, outcome.faults), examples: [] };
  const { policy } = outcome;
  const { findings, ...rest } = analysePolicy(policy);
  return {
    faults: [],
    examples: runExamples(policy),
    policy,
    analysis: { ...rest, findings: findings.map((finding) => ({ ...finding, pointer: placeOf(document, finding) })) },
    coverage: coverageOf(policy),
  };
}

function placeOf(document: unknown, { decision, rules, column, from, to, detail }: PolicyFinding): string {
  const [rule] = rules;
  const fault = {
    ...(decision === undefined ? {} : { decision }),
    ...(rule === undefined ? {} : { rule }),
    ...(column === undefined ? {} : { column }),
    ...(from === undefined || to === undefined ? {} : { from, to }),
    detail,
  };
  return placeFaults(document, [fault])[0]?.pointer ?? '#';
}
