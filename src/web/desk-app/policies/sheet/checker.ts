import {
  analysePolicy,
  coverageOf,
  runExamples,
  type ExampleCoverage,
  type ExampleResult,
  type MoreFindings,
  type PolicyFinding,
} from '../../../../policies/analysis.contract.js';
import {
  compilePolicy,
  PolicyConflict,
  type Evaluation,
  type Facts,
  type PolicyFault,
} from '../../../../policies/policies.contract.js';
import type { RuleName, WhyNotRule } from '../../../../policies/trace.contract.js';

/** What a worker can be asked about a document, with the same rules that the service uses. */
export type Question =
  | { readonly kind: 'faults'; readonly document: unknown }
  | { readonly kind: 'examination'; readonly document: unknown }
  | {
      readonly kind: 'case';
      readonly document: unknown;
      readonly on: string;
      readonly facts: Facts;
      /** Absent: all. */
      readonly decisions?: readonly string[];
      /** A rule that somebody wants to know of why it does not decide. */
      readonly rule?: RuleName;
    };

/** Everything that can be said of a document that runs. */
export interface Examined {
  readonly examples: readonly ExampleResult[];
  readonly findings: readonly PolicyFinding[];
  readonly more: readonly MoreFindings[];
  readonly coverage: ExampleCoverage;
}

/** What came of one case, or why nothing did. */
export type Tried =
  | { readonly ok: true; readonly evaluation: Evaluation; readonly whyNot?: WhyNotRule }
  | { readonly ok: false; readonly detail: string };

export interface Answers {
  readonly faults: readonly PolicyFault[];
  /** Undefined where the document does not run. */
  readonly examination: Examined | undefined;
  readonly case: Tried;
}

/** Answers one question. */
export function answerTo(question: Question): Answers[Question['kind']] {
  const outcome = compilePolicy(question.document);
  if (question.kind === 'faults') return outcome.ok ? [] : outcome.faults;
  if (question.kind === 'case') {
    if (outcome.ok) return tried(question, outcome.policy);
    return { ok: false, detail: 'The policy cannot run: there are cells that cannot be read. Put them right first.' };
  }
  if (!outcome.ok) return undefined;
  const { findings, more } = analysePolicy(outcome.policy);
  return { examples: runExamples(outcome.policy), findings, more, coverage: coverageOf(outcome.policy) };
}

type Case = Extract<Question, { readonly kind: 'case' }>;
type Policy = Extract<ReturnType<typeof compilePolicy>, { readonly ok: true }>['policy'];

function tried({ on, facts, decisions, rule }: Case, policy: Policy): Tried {
  try {
    const evaluation = policy.evaluate(on, facts, decisions, { trace: true });
    return { ok: true, evaluation, ...(rule === undefined ? {} : { whyNot: policy.whyNotRule(on, facts, rule) }) };
  } catch (error) {
    if (error instanceof PolicyConflict) return { ok: false, detail: error.message };
    if (error instanceof RangeError) return { ok: false, detail: `${error.message}.` };
    throw error;
  }
}
