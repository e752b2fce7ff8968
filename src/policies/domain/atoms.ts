import type { HitPolicy, PolicyDocument } from '../policies.contract.js';
import type { Bits } from './bits.js';
import type { Known } from './values.js';

/**
 * Values of a column between which no cell of the table tells a difference. `between` is an open gap; a side that is absent
 * has no end. A `between` without either end on a `set` axis stands for every text that no cell names.
 */
export type Atom =
  | { readonly kind: 'point'; readonly value: Known }
  | { readonly kind: 'between'; readonly low?: Known; readonly high?: Known; readonly example: Known }
  /** Known to be absent (null). */
  | { readonly kind: 'absent' };

/** A column of a table cut into atoms. */
export interface Axis {
  readonly column: string;
  /** What the column reads, as written. */
  readonly expression: string;
  /** Fact or outcome that the column is, where it is no more than a name. */
  readonly name?: string;
  /**
   * `ordered`: points and gaps of numbers or dates, rising; gaps without a value (of whole numbers, dates, decimals with a
   * scale) are left out, and so is everything outside the limits of the fact. `set`: values of an enum, booleans, texts.
   */
  readonly kind: 'ordered' | 'set';
  /** `absent` last, where null is possible. */
  readonly atoms: readonly Atom[];
}

/** A rule as a product of sets of atoms. */
export interface AtomRule {
  readonly id: string;
  /** For each axis the atoms that its cell accepts, bit `i` for atom `i`; all of them where it has no cell. */
  readonly accepts: readonly Bits[];
  /** Canonical text of what it gives: equal where the outcomes are equal. */
  readonly outcome: string;
  /**
   * Has a cell that cannot be cut into atoms (it depends on another fact, or on a parameter before its first date). Such a
   * cell accepts all atoms here: the rule may hold there, and need not.
   */
  readonly open: boolean;
  /** Ids of the rules to which it is an exception. Two that hold together with their base, neither an exception to the other, are a conflict. */
  readonly overrides: readonly string[];
}

/** A decision table cut into atoms, as it is on one day. Made by `atomTable` of atom-table.ts. */
export interface AtomTable {
  readonly decision: string;
  readonly hit: HitPolicy;
  readonly axes: readonly Axis[];
  readonly rules: readonly AtomRule[];
  /**
   * Places of the rules from the strongest to the weakest: row order, but by declared output values under `priority` and
   * `output order`.
   */
  readonly precedence: readonly number[];
  /** Canonical text of what `otherwise` gives; absent where the table has none. */
  readonly otherwise?: string;
}

/** Every date on which a parameter of the document changes, rising, each once. Between two of them every table stays as it is. */
export function parameterEpochs(document: PolicyDocument): string[] {
  const dates = Object.values(document.parameters).flatMap(({ values }) => values.map(({ from }) => from));
  return [...new Set(dates)].toSorted();
}
