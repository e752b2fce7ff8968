import type { Facts, PolicyExample } from './policies.contract.js';

/** What a finding is about. */
export type FindingKind =
  /** A cell that accepts nothing its column can be, or a rule whose cells exclude each other. */
  | 'never holds'
  /** Facts for which no rule speaks. */
  | 'gap'
  /** Rules that hold for the same facts where the table allows one, or different outcomes. */
  | 'overlap'
  /** A rule that never decides because others always come before it. */
  | 'masked'
  /** A rule without which nothing changes. */
  | 'redundant'
  /** Two rules that could be one. */
  | 'could be one'
  /** A declared outcome value that no rule gives. */
  | 'never given'
  /** An outcome value that is given and that no cell downstream names though others are named. */
  | 'never read'
  /** A declared fact or parameter that nothing reads. */
  | 'unused'
  /** Something the analysis could not settle, and why. */
  | 'not proven';

/** `error`: the policy fails or contradicts itself there. `warning`: somebody should look. `information`: worth knowing, and not wrong. */
export type FindingSeverity = 'error' | 'warning' | 'information';

/** Days of the governing date on which a finding is true: `from` is included, `before` is not; a side that is absent has no end. */
export interface FindingPeriod {
  readonly from?: string;
  readonly before?: string;
}

/** Part of a decision's table: for each column that matters a cell of the rule language that accepts exactly that part. */
export type RegionPart = Readonly<Record<string, string>>;

/** A claim that shows a finding. */
export interface FindingExample {
  /** Day whose parameters hold. */
  readonly on: string;
  readonly given: Facts;
  /** The facts in words, as in `defect frame, days since delivery 8`. */
  readonly words: string;
}

/** One thing that the analysis says of a policy. */
export interface PolicyFinding {
  readonly kind: FindingKind;
  readonly severity: FindingSeverity;
  readonly decision?: string;
  /** Rules that it is about, the one to look at first in front. */
  readonly rules: readonly string[];
  readonly column?: string;
  /** Character range inside the cell, end exclusive. */
  readonly from?: number;
  readonly to?: number;
  /** One sentence, without the example. */
  readonly detail: string;
  /** Absent where it is true at all times. */
  readonly period?: FindingPeriod;
  /** Where it is true, as parts of the decision's table of which any may hold. Absent where it is not about facts. */
  readonly region?: readonly RegionPart[];
  readonly example?: FindingExample;
  /** The example as it can be put into the policy; what it expects is what the policy says today, to be put right by a person. */
  readonly ready?: PolicyExample;
  /** How many real claims of the last year lie there; filled in by whoever has claims. */
  readonly recentClaims?: number;
}

/** Findings of one kind that are left out of a list that would be too long. */
export interface MoreFindings {
  readonly decision: string;
  readonly kind: FindingKind;
  /** There are at least so many more. */
  readonly atLeast: number;
}

/** What the analysis says of a policy: few findings, the gravest first. */
export interface PolicyAnalysis {
  readonly findings: readonly PolicyFinding[];
  readonly more: readonly MoreFindings[];
  /** True where there is neither an error nor a warning. */
  readonly clean: boolean;
}

/** What one version of a policy came to in a place: the words of its outcomes and the rules that give them. */
export interface ChangedSide {
  readonly words: string;
  /** Rule ids; `otherwise` where none holds and the table says what then. Empty where no rule speaks. */
  readonly rules: readonly string[];
  /** Outcomes; absent where no rule speaks or rules contradict each other. */
  readonly outcomes?: PolicyExample['expect'];
}

/** Claims for which a decision comes out differently: exact, as parts of the decision's table. */
export interface PolicyChange {
  readonly decision: string;
  readonly was: ChangedSide;
  readonly becomes: ChangedSide;
  /** One sentence. */
  readonly detail: string;
  readonly period?: FindingPeriod;
  /** Cells by what the column reads; any of the parts may hold. */
  readonly region: readonly RegionPart[];
  readonly example?: FindingExample;
  /** How many real claims of the last year lie there; filled in by whoever has claims. */
  readonly recentClaims?: number;
}

/** Everything in which two versions of a policy differ. */
export interface PolicyDifference {
  /** Regions of each decision, the plainest first. */
  readonly changes: readonly PolicyChange[];
  /** Facts, parameters, columns, expressions, clocks and the rest, each in one sentence. */
  readonly sentences: readonly string[];
  /** Decisions whose regions could not all be worked out; the sentences say why. */
  readonly incomplete: readonly string[];
}

/** One side of an end that some cell names: the last value on it, and the first beyond. */
export interface UntouchedBoundary {
  readonly column: string;
  /** What the column reads. */
  readonly expression: string;
  /** Where the end is, in words: `between 7 and 8`. */
  readonly words: string;
  /** The side on which no example lies directly at the end. */
  readonly side: 'below' | 'above';
}

/** What the examples of a policy try of one decision. */
export interface DecisionCoverage {
  readonly decision: string;
  readonly rules: number;
  readonly rulesHit: number;
  /** Rules that no example makes decide; `otherwise` is one of them where the table has it. */
  readonly neverHit: readonly string[];
  /** Sides of boundaries: two for each end between two neighbouring values. */
  readonly sides: number;
  readonly sidesTouched: number;
  readonly untouched: readonly UntouchedBoundary[];
}

/** What the examples of a policy try, and examples that would try the rest. */
export interface ExampleCoverage {
  readonly decisions: readonly DecisionCoverage[];
  /** Shares in percent, rounded down, so that 100 is all. */
  readonly rulesPercent: number;
  readonly boundariesPercent: number;
  /** Examples for rules and boundaries that are not tried; what they expect is what the policy says today, for a person to check. */
  readonly candidates: readonly PolicyExample[];
}

/** A change that no example notices. */
export interface SurvivingMutant {
  readonly decision: string;
  readonly rule?: string;
  readonly column?: string;
  /** What could be changed without anything failing, in one sentence. */
  readonly detail: string;
  /** An example that would notice; absent where none was found. */
  readonly candidate?: PolicyExample;
}

/** Whether the examples would notice if a policy were written slightly wrong. */
export interface MutationCheck {
  /** Changes tried that make a difference for some claim. */
  readonly tried: number;
  readonly noticed: number;
  readonly survivors: readonly SurvivingMutant[];
  /** Changes tried that make no difference for any claim, and so cannot be noticed. */
  readonly equivalent: number;
  /** Changes that were left out, because there were too many to try. */
  readonly leftOut: number;
}

export { analysePolicy, comparePolicies, coverageOf, mutationCheckOf } from './domain/analysis/whole-policy.js';
export { changeTest, countClaims, regionTest, type Region, type RegionTest } from './domain/analysis/region-test.js';
export { runExamples, type ExampleResult } from './domain/run-examples.js';
export { periodWords } from './domain/analysis/periods.js';
export { formatPolicy } from './format-policy.js';
