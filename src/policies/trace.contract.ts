import type { HitPolicy, OutcomeValue } from './policies.contract.js';

/** A rule of a decision; `otherwise` where no rule of the table holds. */
export interface RuleName {
  readonly decision: string;
  readonly rule: string;
}

/** A dated parameter as it was used: its value and the day from which it holds. */
export interface ParameterUsed {
  readonly name: string;
  readonly from: string;
  readonly value: string;
}

/** A cell that was looked at. */
export interface CellTrace {
  readonly column: string;
  /** What the column reads. */
  readonly expression: string;
  readonly cell: string;
  /** The alternative of the cell that held, as a character range, end exclusive; the whole cell where none of them alone decides. */
  readonly from: number;
  readonly to: number;
  /** Value of the column; null also where it is not known. */
  readonly value: OutcomeValue;
  readonly holds: 'yes' | 'no' | 'not known';
  readonly parameters: readonly ParameterUsed[];
}

/** A rule that decided, with all its cells. */
export interface RuleTrace {
  readonly rule: string;
  readonly because?: string;
  readonly source?: string;
  readonly cells: readonly CellTrace[];
}

/** How one decision came about. */
export interface DecisionTrace {
  readonly decision: string;
  readonly result: 'decided' | 'needs' | 'no rule';
  /** How the table chooses; absent where the decision is an expression. */
  readonly hit?: HitPolicy;
  /** The expression as written, where it is one. */
  readonly expression?: string;
  readonly outcomes?: Readonly<Record<string, OutcomeValue>>;
  /** Rules that gave the outcome; `otherwise` without cells where none held. */
  readonly fired: readonly RuleTrace[];
  /** Rules that hold too and do not decide, because a stronger one does. */
  readonly masked: readonly string[];
  /** Rules that hold and give way to an exception. */
  readonly overridden: readonly { readonly rule: string; readonly by: string }[];
  /** Rules that may still hold, with the facts they wait for. */
  readonly possible: readonly { readonly rule: string; readonly facts: readonly string[] }[];
  /** Parameters that the columns, the fired cells or the expression read. */
  readonly parameters: readonly ParameterUsed[];
}

/** A rule that would give the wanted value, and what stands against it. */
export interface WhyNotRule {
  readonly rule: string;
  readonly because?: string;
  readonly source?: string;
  /** Cells that do not hold or are not known, in the order of the rule. None: the rule holds and another one decides. */
  readonly failing: readonly CellTrace[];
  /** Stronger rules that hold, where the table takes the strongest. */
  readonly maskedBy: readonly string[];
  /** Exceptions to this rule that hold. */
  readonly overriddenBy: readonly string[];
}

/** Why an outcome is not another value. */
export interface WhyNot {
  readonly decision: string;
  readonly name: string;
  readonly wanted: OutcomeValue;
  /** What it is; absent where it is not decided. */
  readonly is?: OutcomeValue;
  /** Rules that would give the wanted value, those with the fewest failing cells first. */
  readonly rules: readonly WhyNotRule[];
  /** Rules that hold, where `otherwise` would give the wanted value and they stand before it. */
  readonly beforeOtherwise: readonly string[];
  /** The fewest facts that would have to be different, and how; absent where none was found among the boundaries of the tables. */
  readonly nearest?: { readonly changes: readonly FactChange[] };
}

export interface FactChange {
  readonly fact: string;
  /** Absent where the fact is not known. */
  readonly was?: OutcomeValue;
  readonly becomes: OutcomeValue;
}
