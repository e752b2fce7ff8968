import type { FactType, FiredRule, OutcomeValue } from '../policies.contract.js';
import { PolicyConflict } from './policy-conflict.js';
import type { Lookup, Run } from './run-expression.js';
import type { RunCell } from './run-cell.js';
import { Unknown, writeValue, type Known, type Value } from './values.js';

/** A decision table ready to run. */
export interface CompiledTable {
  readonly decision: string;
  readonly hit: 'first' | 'unique';
  readonly columns: readonly { readonly run: Run; readonly integer: boolean }[];
  readonly rules: readonly CompiledRule[];
  readonly otherwise?: { readonly outcomes: Outcomes; readonly because?: string };
}

export interface CompiledRule {
  readonly id: string;
  readonly cells: readonly CompiledCell[];
  readonly outcomes: Outcomes;
  readonly because?: string;
  readonly source?: string;
}

export interface CompiledCell {
  readonly column: string;
  /** Place of the column in the table. */
  readonly place: number;
  readonly text: string;
  readonly run: RunCell;
}

/** What a rule or an expression gives: as later decisions read it, and as it travels. */
export interface Outcomes {
  readonly known: ReadonlyMap<string, Known>;
  readonly written: Readonly<Record<string, OutcomeValue>>;
}

/** Puts outcomes into both forms. @param types declared types of the outcomes, by name */
export function outcomesOf(known: ReadonlyMap<string, Known>, types: ReadonlyMap<string, FactType>): Outcomes {
  const written = Object.fromEntries(
    Array.from(known, ([name, value]) => [name, writeValue(value, types.get(name)?.type === 'integer')]),
  );
  return { known, written };
}

/** What a decision came to: outcomes with the rule that gives them, or why there are none. */
export type Decided =
  | { readonly kind: 'decided'; readonly outcomes: Outcomes; readonly fired?: FiredRule }
  | { readonly kind: 'open'; readonly facts: readonly string[]; readonly decisions: readonly string[] }
  | { readonly kind: 'no rule' };

interface Candidate {
  readonly rule: CompiledRule;
  /** Why it is not sure; undefined where all cells hold. */
  readonly unknown: Unknown | undefined;
}

/**
 * Runs a table with facts that may be unknown. A rule with one cell that does not hold is out; one whose cells all hold is
 * sure; the rest are possible. Decided when everything that is still possible gives the same outcomes; otherwise open, with
 * the facts that matter, those that settle the most rules first. @throws PolicyConflict
 */
export function runTable(table: CompiledTable, lookup: Lookup): Decided {
  const values: Value[] = [];
  // Worked out when a cell first asks: a table that is settled early needs few of its columns.
  const columnValue = (place: number): Value => {
    const known = values[place];
    if (known !== undefined) return known;
    const fresh = table.columns[place]?.run(lookup) ?? null;
    values[place] = fresh;
    return fresh;
  };
  const candidates = candidatesOf(table, lookup, columnValue);
  const sure = candidates.find((candidate) => !candidate.unknown);
  const anchor = sure?.rule.outcomes ?? table.otherwise?.outcomes;
  const agreed = anchor && candidates.every((candidate) => sameOutcomes(candidate.rule.outcomes, anchor));
  if (agreed) {
    const fired = sure ? firedRule(table, sure.rule, columnValue) : firedOtherwise(table);
    return { kind: 'decided', outcomes: anchor, fired };
  }
  return candidates.length === 0 ? { kind: 'no rule' } : open(candidates);
}

function candidatesOf(table: CompiledTable, lookup: Lookup, columnValue: (place: number) => Value): Candidate[] {
  const candidates: Candidate[] = [];
  let sure: CompiledRule | undefined;
  for (const rule of table.rules) {
    const holds = ruleHolds(rule, lookup, columnValue);
    if (holds === false) continue;
    candidates.push({ rule, unknown: holds === true ? undefined : holds });
    if (holds !== true) continue;
    if (table.hit === 'first') break;
    if (sure) throw new PolicyConflict(table.decision, [sure.id, rule.id]);
    sure = rule;
  }
  return candidates;
}

function ruleHolds(rule: CompiledRule, lookup: Lookup, columnValue: (place: number) => Value): boolean | Unknown {
  let open: Unknown | undefined;
  for (const cell of rule.cells) {
    const holds = cell.run(columnValue(cell.place), lookup);
    if (holds === false) return false;
    if (holds !== true) open = open ? open.and(holds) : holds;
  }
  return open ?? true;
}

function sameOutcomes(a: Outcomes, b: Outcomes): boolean {
  if (a === b) return true;
  for (const [name, value] of a.known) {
    const other = b.known.get(name);
    if (String(value) !== String(other) || typeof value !== typeof other) return false;
  }
  return true;
}

function open(candidates: readonly Candidate[]): Decided {
  const facts = new Map<string, number>();
  const decisions = new Set<string>();
  for (const { unknown } of candidates) {
    if (!unknown) continue;
    for (const fact of unknown.facts) facts.set(fact, (facts.get(fact) ?? 0) + 1);
    for (const decision of unknown.decisions) decisions.add(decision);
  }
  if (facts.size === 0 && decisions.size === 0) return { kind: 'no rule' };
  // The sort is stable: facts that settle equally many rules keep the order in which the rules ask for them.
  const ordered = [...facts].toSorted((a, b) => b[1] - a[1]).map(([fact]) => fact);
  return { kind: 'open', facts: ordered, decisions: [...decisions] };
}

function firedRule(table: CompiledTable, rule: CompiledRule, columnValue: (place: number) => Value): FiredRule {
  const cells = rule.cells.map((cell) => {
    const value = columnValue(cell.place);
    return {
      column: cell.column,
      cell: cell.text,
      value: shown(value, table.columns[cell.place]?.integer ?? false),
    };
  });
  return {
    decision: table.decision,
    rule: rule.id,
    ...(rule.because === undefined ? {} : { because: rule.because }),
    ...(rule.source === undefined ? {} : { source: rule.source }),
    cells,
  };
}

function firedOtherwise(table: CompiledTable): FiredRule {
  const because = table.otherwise?.because;
  return { decision: table.decision, rule: 'otherwise', ...(because === undefined ? {} : { because }), cells: [] };
}

function shown(value: Value, integer: boolean): OutcomeValue {
  return value instanceof Unknown ? null : writeValue(value, integer);
}
