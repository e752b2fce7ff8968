import { affectedDecisions, AnswerComparison } from '../../adjudication/records.contract.js';
import { canonicalJson } from '../../kernel/canonical-json.js';
import { compilePolicy, type CompiledPolicy, type PolicyDocument } from '../../policies/policies.contract.js';

/** A policy made ready for many cases, with what its clocks depend on. */
export interface RehearsedPolicy {
  readonly policy: CompiledPolicy;
  /** Equal for policies whose clocks always end alike. */
  readonly clocks: string;
}

/** A version that judged claims, with where a draft may answer otherwise than it. */
export interface VersionBefore extends RehearsedPolicy {
  /** Undefined where more than answers may differ. */
  readonly answers: AnswerComparison | undefined;
}

/** A version that judged claims beside a draft. @throws Error when it no longer compiles */
export function versionBefore(document: object, draft: RehearsedPolicy): VersionBefore {
  const before = rehearsedPolicy(document);
  const [was, becomes] = [before.policy, draft.policy];
  const affected = affectedDecisions(was.document, becomes.document);
  return { ...before, answers: affected && new AnswerComparison({ was, becomes, affected }) };
}

/** Makes a kept document ready. @throws Error when it no longer compiles */
export function rehearsedPolicy(document: object): RehearsedPolicy {
  const outcome = compilePolicy(document);
  if (!outcome.ok) throw new Error(`the policy no longer compiles: ${outcome.faults[0]?.detail ?? ''}`);
  return { policy: outcome.policy, clocks: clocksKey(outcome.policy.document) };
}

/** The clock rules with the dated values that they name. */
export function clocksKey({ clocks = [], parameters }: PolicyDocument): string {
  const named = clocks.flatMap(({ length, floor, extension, repeatsEvery }) =>
    [length, floor, extension, repeatsEvery].flatMap((one) => (typeof one === 'string' ? [one] : [])),
  );
  const values = Object.fromEntries(named.map((name) => [name, parameters[name]?.values ?? []]));
  const rules = clocks.map(({ title: _title, ground: _ground, source: _source, ...rule }) => rule);
  return canonicalJson({ rules, values });
}
