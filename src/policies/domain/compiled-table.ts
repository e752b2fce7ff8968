import type { Aggregate, FactType, HitPolicy, OutcomeValue } from '../policies.contract.js';
import type { ColumnDomain } from './column-domain.js';
import type { RunCell } from './run-cell.js';
import type { Run } from './run-expression.js';
import type { Cell, Expression } from './syntax.js';
import { writeValue, type Known } from './values.js';

/** A decision table ready to run. */
export interface CompiledTable {
  readonly decision: string;
  readonly hit: HitPolicy;
  /** What `collect` makes of the hits; without one it lists them. */
  readonly aggregate?: Aggregate;
  readonly columns: readonly CompiledColumn[];
  readonly rules: readonly CompiledRule[];
  /** Places of the rules from the strongest to the weakest: row order, unless output values have an order that decides. */
  readonly precedence: readonly number[];
  /** Whether any rule is an exception to another. */
  readonly hasExceptions: boolean;
  readonly gives: ReadonlyMap<string, FactType>;
  readonly otherwise?: { readonly outcomes: Outcomes; readonly because?: string };
  /** Earlier decisions that a column or a cell reads. */
  readonly readsDecisions: ReadonlySet<string>;
  /** Parameters that a column or a cell reads. */
  readonly readsParameters: ReadonlySet<string>;
}

export interface CompiledColumn {
  readonly id: string;
  /** The expression as written. */
  readonly text: string;
  readonly tree: Expression;
  readonly run: Run;
  readonly integer: boolean;
  readonly domain: ColumnDomain;
  /** Fact or earlier outcome that the column is, where it is no more than a name. */
  readonly name?: string;
}

export interface CompiledRule {
  readonly id: string;
  readonly cells: readonly CompiledCell[];
  readonly outcomes: Outcomes;
  /** Places of the rules to which it is an exception. */
  readonly overrides: readonly number[];
  readonly because?: string;
  readonly source?: string;
}

export interface CompiledCell {
  readonly column: string;
  /** Place of the column in the table. */
  readonly place: number;
  readonly text: string;
  readonly cell: Cell;
  readonly run: RunCell;
}

/** An outcome as later decisions read it. */
export type OutcomeKnown = Known | readonly Known[];

/** What a rule or an expression gives: as later decisions read it, and as it travels. */
export class Outcomes {
  readonly written: Readonly<Record<string, OutcomeValue>>;
  private text: string | undefined;

  /** @param types declared types of the outcomes, by name */
  constructor(
    readonly known: ReadonlyMap<string, OutcomeKnown>,
    types: ReadonlyMap<string, FactType>,
  ) {
    const written: Record<string, OutcomeValue> = {};
    for (const [name, value] of known) {
      const integer = types.get(name)?.type === 'integer';
      written[name] = isList(value) ? value.map((item) => writeValue(item, integer)) : writeValue(value, integer);
    }
    this.written = written;
  }

  /** Canonical text, equal where the outcomes are. */
  get key(): string {
    this.text ??= JSON.stringify(this.written);
    return this.text;
  }
}

function isList(value: OutcomeKnown): value is readonly Known[] {
  return Array.isArray(value);
}

/** What a decision came to: outcomes with the rules that give them, or why there are none. */
export type Decided =
  | {
      readonly kind: 'decided';
      readonly outcomes: Outcomes;
      /** Places of the rules that give it, in the order of the result; none where it is `otherwise` or an expression. */
      readonly rules: readonly number[];
    }
  | { readonly kind: 'open'; readonly facts: readonly string[]; readonly decisions: readonly string[] }
  | { readonly kind: 'no rule' };
