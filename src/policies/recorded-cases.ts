import type { Facts } from './policies.contract.js';
import { traceText } from './trace-text.js';

/** Facts about which a policy was asked in one claim, with the decisions that the asking touched. */
export interface RecordedCase {
  /** Day whose parameters hold. */
  readonly on: string;
  readonly facts: Facts;
  readonly decisions: ReadonlySet<string>;
}

/** A record as far as its cases are read from it; what else is in it is not looked at. */
interface RecordedFacts {
  readonly on: string;
  readonly base: Facts;
  readonly matters: readonly { readonly about: string; readonly facts: Facts }[];
}
interface RecordedTrace {
  readonly questions: readonly {
    readonly about?: string;
    readonly given: Facts;
    readonly asked: readonly string[];
    readonly fired: readonly { readonly decision: string }[];
  }[];
}

/** The questions that were put to the policy about a claim, as cases that a policy can be asked again. */
export function recordedCases(record: { readonly facts: string; readonly trace: Uint8Array }): RecordedCase[] {
  const { on, base, matters } = JSON.parse(record.facts) as RecordedFacts;
  const { questions } = JSON.parse(traceText(record.trace)) as RecordedTrace;
  const ofMatter = new Map(matters.map(({ about, facts }) => [about, facts]));
  return questions.map(({ about, given, asked, fired }) => ({
    on,
    facts: { ...base, ...(about === undefined ? {} : ofMatter.get(about)), ...given },
    decisions: new Set([...asked, ...fired.map(({ decision }) => decision)]),
  }));
}

/** How many claims lie in each region: a claim does where any of its cases that touched the region's decision does. */
export function claimsInRegions(
  claims: readonly (readonly RecordedCase[])[],
  regions: readonly { readonly decision: string; readonly isInside: (on: string, facts: Facts) => boolean }[],
): number[] {
  return regions.map(
    ({ decision, isInside }) =>
      claims.filter((cases) => cases.some(({ on, facts, decisions }) => decisions.has(decision) && isInside(on, facts)))
        .length,
  );
}
