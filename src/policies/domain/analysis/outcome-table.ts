import type { RuleBox } from './cover.js';
import type { Box, Space } from './space.js';

/** How a table chooses among the rules that hold. */
export type Choice =
  /** The rule that comes first by precedence decides. */
  | 'first'
  /** Two rules that hold are a conflict. */
  | 'unique'
  /** Rules that hold must agree; else a conflict. */
  | 'any'
  /** Everything that holds counts, in order. */
  | 'all'
  /** Everything that holds counts, in no order. */
  | 'together';

/** A rule as geometry. */
export interface OutcomeRule {
  readonly id: string;
  readonly boxes: readonly Box[];
  /** What it gives, as text that is equal where the outcomes are. */
  readonly outcome: string;
}

/** A decision table as geometry: where each rule holds, and what it gives. */
export interface OutcomeTable {
  readonly space: Space;
  readonly choice: Choice;
  readonly rules: readonly OutcomeRule[];
  /** Places of the rules, the strongest first; row order unless the table says otherwise. Read where the choice is `first`. */
  readonly precedence: readonly number[];
  /** For each rule its place in `precedence`. */
  readonly rank: readonly number[];
  /** For each rule the places of the rules to which it is an exception: where both hold, those do not count. */
  readonly exceptionTo: readonly (readonly number[])[];
  /** What holds where no rule does; undefined where then there is no rule. */
  readonly otherwise?: string;
}

/** Ranks of rules from their order of precedence; a rule that is not in it ranks last. */
export function ranksOf(precedence: readonly number[], count: number): number[] {
  const ranks = Array.from({ length: count }, () => count);
  for (const [rank, rule] of precedence.entries()) ranks[rule] = rank;
  return ranks;
}

/** What a table comes to at a place. */
export type Result =
  | { readonly kind: 'outcome'; readonly outcome: string; readonly rules: readonly number[] }
  | { readonly kind: 'conflict'; readonly rules: readonly number[] }
  | { readonly kind: 'no rule' };

/** Whether several rules that hold make the outcome together. */
export function countsAll({ choice }: OutcomeTable): boolean {
  return choice === 'all' || choice === 'together';
}

/** Every box of every rule. */
export function ruleBoxes(table: OutcomeTable): RuleBox[] {
  return table.rules.flatMap(({ boxes }, rule) => boxes.map((box) => ({ rule, box })));
}

/** What a table comes to where exactly the given rules hold. @param hits places of rules in order of precedence */
export function resultOf(table: OutcomeTable, hits: readonly number[]): Result {
  const overridden = new Set(hits.flatMap((rule) => table.exceptionTo[rule] ?? []));
  const standing = overridden.size === 0 ? hits : hits.filter((rule) => !overridden.has(rule));
  for (const base of overridden) {
    const exceptions = hits.includes(base) ? standing.filter((rule) => table.exceptionTo[rule]!.includes(base)) : [];
    if (exceptions.length > 1) return { kind: 'conflict', rules: exceptions };
  }
  const [first] = standing;
  if (first === undefined) {
    if (hits.length > 0) return { kind: 'conflict', rules: hits };
    return table.otherwise === undefined
      ? { kind: 'no rule' }
      : { kind: 'outcome', outcome: table.otherwise, rules: [] };
  }
  const { outcome } = table.rules[first]!;
  switch (table.choice) {
    case 'first':
      return { kind: 'outcome', outcome, rules: [first] };
    case 'unique':
      if (standing.length > 1) return { kind: 'conflict', rules: standing };
      return { kind: 'outcome', outcome, rules: [first] };
    case 'any':
      if (standing.some((rule) => table.rules[rule]!.outcome !== outcome)) return { kind: 'conflict', rules: standing };
      return { kind: 'outcome', outcome, rules: standing };
    case 'all':
    case 'together': {
      const all = standing.map((rule) => table.rules[rule]!.outcome);
      const listed = table.choice === 'all' ? all : all.toSorted();
      return { kind: 'outcome', outcome: listed.join(' | '), rules: standing };
    }
  }
}

/** Results are the same where they say the same, whichever rules say it. */
export function resultKey(result: Result): string {
  return result.kind === 'outcome' ? `=${result.outcome}` : result.kind;
}

/**
 * What a table comes to everywhere in a box, where that is one and the same.
 * @param full rules that cover the box, and @param partial those that cover part of it, both in order of precedence
 * @returns undefined where it is not, or cannot be told without cutting the box
 */
export function constantResult(
  table: OutcomeTable,
  full: readonly number[],
  partial: readonly number[],
): Result | undefined {
  if (partial.length === 0) return resultOf(table, full);
  const plain =
    table.choice === 'first' && [...full, ...partial].every((rule) => table.exceptionTo[rule]?.length === 0);
  if (!plain) return undefined;
  const [surest] = full;
  const certain = resultOf(table, full);
  const stronger = surest === undefined ? partial : partial.filter((rule) => table.rank[rule]! < table.rank[surest]!);
  if (certain.kind !== 'outcome') return stronger.length === 0 ? certain : undefined;
  const same = stronger.every((rule) => table.rules[rule]!.outcome === certain.outcome);
  return same ? { ...certain, rules: [...new Set([...stronger, ...certain.rules])] } : undefined;
}
