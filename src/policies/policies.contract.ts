import type { CLOCK_STARTS } from '../kernel/clock-starts.js';
import type { Rounding } from '../kernel/rounding.js';
import type { Receipt } from '../kernel/vocabulary.js';
import type { DecisionTrace, RuleName, WhyNot, WhyNotRule } from './trace.contract.js';

/** Policy document, format `policy/1`: facts, dated parameters, decisions and examples. */
export interface PolicyDocument {
  readonly format: 'policy/1';
  readonly id: string;
  readonly version?: number;
  readonly title: string;
  /** Two-letter country, optionally with subdivision, that this policy was written for. */
  readonly jurisdiction: string;
  readonly caution: string;
  readonly governedBy: string;
  readonly zone: string;
  readonly money: { readonly currency: string; readonly scale: number; readonly rounding: Rounding };
  readonly facts: Readonly<Record<string, FactType>>;
  readonly parameters: Readonly<Record<string, Parameter>>;
  readonly decisions: readonly PolicyDecision[];
  readonly clocks?: readonly ClockRule[];
  readonly examples: readonly PolicyExample[];
}

export type FactType = (
  | { readonly type: 'enum'; readonly values: readonly string[] }
  | { readonly type: 'boolean' }
  | { readonly type: 'integer'; readonly min?: number; readonly max?: number }
  | { readonly type: 'decimal'; readonly min?: string; readonly max?: string; readonly scale?: number }
  | { readonly type: 'date' }
  | { readonly type: 'text' }
) & {
  /** May be unknown when the decision is made; the engine then answers with what it still needs. */
  readonly optional?: boolean;
  /** The question to ask a person when the fact is needed. */
  readonly ask?: string;
  /** A list of such values; outcomes of decisions only. */
  readonly list?: boolean;
};

export interface Parameter {
  readonly type: 'integer' | 'decimal';
  readonly unit?: string;
  /** Half-open periods; a value holds from its date until the next one's. */
  readonly values: readonly {
    readonly from: string;
    readonly value: number | string;
    readonly because?: string;
    readonly source?: string;
  }[];
}

export interface PolicyDecision {
  readonly id: string;
  readonly title?: string;
  readonly gives: Readonly<Record<string, FactType>>;
  readonly table?: PolicyTable;
  readonly expression?: string;
}

/**
 * How a table chooses among the rules that hold. One rule decides under `unique` (two are a conflict), `any` (they must agree),
 * `first` (row order) and `priority` (order of the declared output values); all of them under `rule order`, `output order` and
 * `collect`, where outcomes are lists or, with an `aggregate`, one number.
 */
export type HitPolicy = 'unique' | 'any' | 'first' | 'priority' | 'rule order' | 'output order' | 'collect';

/** What `collect` makes of the rules that hold: the sum, the smallest, the largest of what they give, or how many they are. */
export type Aggregate = 'sum' | 'min' | 'max' | 'count';

export interface PolicyTable {
  readonly hit: HitPolicy;
  readonly aggregate?: Aggregate;
  /** Column id to expression over facts, parameters and earlier outcomes. */
  readonly columns: Readonly<Record<string, string>>;
  readonly rules: readonly PolicyRule[];
  readonly otherwise?: Readonly<Record<string, OutcomeValue>>;
  readonly otherwiseBecause?: string;
}

export interface PolicyRule {
  readonly id: string;
  /** Column id to cell (FEEL unary test). An absent column matches anything. */
  readonly when: Readonly<Record<string, string>>;
  readonly then: Readonly<Record<string, OutcomeValue>>;
  /**
   * Rules of the same table to which this one is an exception: where both hold, the exception wins. Two exceptions to one rule
   * that hold with it are a conflict, unless one is an exception to the other.
   */
  readonly overrides?: readonly string[];
  readonly because?: string;
  readonly source?: string;
}

/** Enum text, boolean, whole number, or decimal as text. */
export type OutcomeScalar = string | number | boolean | null;

/** One value, or a list of them where the outcome is declared a list. */
export type OutcomeValue = OutcomeScalar | readonly OutcomeScalar[];

/** A deadline that the policy starts. Lengths may name an integer parameter so that they can be dated. */
export interface ClockRule {
  readonly id: string;
  readonly title: string;
  /** Law, contract or promise it rests on. */
  readonly ground: string;
  readonly source: string;
  /** Which instant starts it; a clock whose start has not happened is `not started`. */
  readonly starts: ClockStart;
  readonly length: number | string;
  readonly unit: 'hours' | 'calendar days' | 'business days' | 'months';
  readonly week?: 'monday to friday' | 'monday to saturday';
  /** True where day 1 is the start day itself. */
  readonly inclusive?: boolean;
  /** Roll a calendar-day or month deadline that falls on a non-business day to the next business day. */
  readonly rolls?: boolean;
  /** What meets it. */
  readonly stops: ClockStart;
  readonly lapse: 'barred' | 'burden shifts' | 'breach' | 'internal';
  /** Claim grounds it applies to; absent: all. */
  readonly grounds?: readonly string[];
  /** Delivery receipts it applies to (visible damage is noted, concealed damage is not); absent: all. */
  readonly receipts?: readonly Receipt[];
  /** True for a clock that runs only where the decision `safety` raises the case for a report. */
  readonly safetyOnly?: boolean;
  /** Kinds of carriage it applies to (a convention binds only its own); absent: all, also where the carriage is not known. */
  readonly transports?: readonly string[];
  /** True for a clock that nobody hears of before its start has happened. */
  readonly onceStarted?: boolean;
  /** Further starts: the clock runs from the last of all that have happened. */
  readonly laterOf?: readonly ClockStart[];
  /** Shortest length that the law lets anybody set, in the rule's unit; a shorter `length` counts as this one. */
  readonly floor?: number | string;
  /** What stops the count, and what starts it again; the time between is added to the end. */
  readonly pausedBy?: ClockStart;
  readonly resumedBy?: ClockStart;
  /** True where both the day of stopping and the day of resuming are part of the wait. */
  readonly waitInclusive?: boolean;
  /** Days that are left after resuming at the least: the end is the later of the two. */
  readonly afterWait?: number;
  /** What lengthens the clock once, and by how much in the rule's unit. */
  readonly extendedBy?: ClockStart;
  readonly extension?: number | string;
  /** Falls due again and again after its first end, every so much in the rule's unit, until it is stopped. */
  readonly repeatsEvery?: number | string;
  /** On which days before the last day to warn whoever owes it; 0 is the last day. Absent: by the length, a house rule. */
  readonly warnDays?: readonly number[];
  readonly owedBy: 'maker' | 'seller' | 'carrier' | 'crew' | 'customer' | 'service';
}

export type ClockStart = (typeof CLOCK_STARTS)[number];

export interface PolicyExample {
  readonly id: string;
  readonly on: string;
  /** Decision ids to evaluate; absent: all. */
  readonly decisions?: readonly string[];
  readonly given: Facts;
  readonly expect: Readonly<Record<string, OutcomeValue | readonly string[]>>;
}

/** Known facts by name: null is known to be absent; a name left out is not yet known. Decimals travel as text. */
export type Facts = Readonly<Record<string, string | number | boolean | null>>;

/** One thing wrong with a policy document, placed so that an analyst can find it. */
export interface PolicyFault {
  readonly decision?: string;
  readonly rule?: string;
  readonly column?: string;
  /** The outcome of the rule that it is about, where it is about one. */
  readonly outcome?: string;
  /** Character range inside the cell or expression, end exclusive. */
  readonly from?: number;
  readonly to?: number;
  readonly detail: string;
}

export interface FiredRule {
  readonly decision: string;
  /** Rule id, or `otherwise`. */
  readonly rule: string;
  readonly because?: string;
  readonly source?: string;
  /** Cells that had to hold, with the values that met them. */
  readonly cells: readonly { readonly column: string; readonly cell: string; readonly value: OutcomeValue }[];
}

/** Facts read and checked once, for several questions about the same case on the same day. */
export interface PolicyCase {
  /** The same case with more facts; one that is given again replaces the one before. @throws RangeError as `evaluate` of a policy does */
  with(facts: Facts): PolicyCase;
  /** Runs decisions as `evaluate` of a policy does. */
  evaluate(decisions?: readonly string[]): Evaluation;
}

export interface Evaluation {
  readonly outcomes: Readonly<Record<string, OutcomeValue>>;
  readonly fired: readonly FiredRule[];
  /** Facts without which a decision cannot be made; the decision's outcomes are then absent. */
  readonly needs: readonly { readonly fact: string; readonly ask?: string; readonly decision: string }[];
  readonly parameters: readonly { readonly name: string; readonly from: string; readonly value: string }[];
  /** Decisions for which no rule speaks. */
  readonly noRule: readonly string[];
  /** The whole way to each outcome, in the order of the decisions; only where it was asked for. */
  readonly trace?: readonly DecisionTrace[];
}

/** An answer without its reasons beyond the rules' names: for many claims, where only what comes out counts. */
export interface Verdict {
  readonly outcomes: Evaluation['outcomes'];
  readonly rules: readonly RuleName[];
  readonly needs: Evaluation['needs'];
  readonly noRule: readonly string[];
}

/** A policy parsed once and ready to run. The engine behind it can be replaced without touching callers. */
export interface CompiledPolicy {
  readonly document: PolicyDocument;
  /** SHA-256 over the canonical JSON of the document. */
  readonly hash: string;
  /**
   * Runs the named decisions in the order given (all, in document order, when none are named); later ones see outcomes of earlier ones.
   * A decision that a named one reads is run as well, and reported, whether or not it was named.
   * @throws RangeError on a fact that the document does not declare or that is of the wrong type, an unknown decision or a bad date.
   * @param options `trace`: with the whole way to each outcome
   * @throws PolicyConflict when rules hold for the same facts that the table does not allow together.
   */
  evaluate(on: string, facts: Facts, decisions?: readonly string[], options?: { readonly trace?: boolean }): Evaluation;
  /** The same answer as `evaluate` gives, faster, with the rules' names for reasons. @throws as `evaluate` does */
  decide(on: string, facts: Facts, decisions?: readonly string[]): Verdict;
  /**
   * Why an outcome is not another value, and what would have to be different.
   * @throws RangeError on an outcome that no decision gives or a value it cannot have, and as `evaluate` does
   */
  whyNot(on: string, facts: Facts, wanted: { readonly name: string; readonly value: OutcomeValue }): WhyNot;
  /**
   * What stands against one rule; nothing does where it decides.
   * @throws RangeError on a rule that no table has, and as `evaluate` does
   */
  whyNotRule(on: string, facts: Facts, rule: RuleName): WhyNotRule;
  /** The same in two steps. @throws RangeError on a fact that is not declared or of the wrong type, or a bad date */
  caseOf(on: string, facts: Facts): PolicyCase;
  /** Value of a dated parameter on a day, as decimal text; undefined before its first date or when there is none of that name. */
  parameter(name: string, on: string): string | undefined;
}

export type CompileOutcome =
  | { readonly ok: true; readonly policy: CompiledPolicy }
  | { readonly ok: false; readonly faults: readonly PolicyFault[] };

export { compilePolicy } from './domain/compile-policy.js';
export { PolicyConflict } from './domain/policy-conflict.js';
