import type { CompiledRule, CompiledTable } from './compiled-table.js';
import type { Lookup } from './run-expression.js';
import { Unknown, type Value } from './values.js';

/** A rule that holds or may hold. */
export interface Candidate {
  /** Place of the rule in the table. */
  readonly place: number;
  /** Why it is not sure; undefined where all cells hold. */
  readonly unknown: Unknown | undefined;
}

/** Whether a cell over a fact that is not known holds whatever the fact turns out to be: yes, no, or undefined where it depends. */
export type Foregone = (rule: number, column: number) => boolean | undefined;

/** Values of the columns of a table, worked out when a cell first asks: a table that is settled early needs few of them. */
export function columnValues(table: CompiledTable, lookup: Lookup): (place: number) => Value {
  const values: Value[] = [];
  return (place) => {
    const known = values[place];
    if (known !== undefined) return known;
    const fresh = table.columns[place]?.run(lookup) ?? null;
    values[place] = fresh;
    return fresh;
  };
}

/**
 * Rules that hold or may hold, found row by row, strongest first: one with a cell that does not hold is out; one whose cells all
 * hold is sure; the rest are possible. Stops at the first sure rule where only the strongest counts.
 */
export function candidatesByRow(
  table: CompiledTable,
  lookup: Lookup,
  columnValue: (place: number) => Value,
  foregone: Foregone,
): Candidate[] {
  const candidates: Candidate[] = [];
  const stops = stopsAtFirst(table);
  for (const place of table.precedence) {
    const holds = ruleHolds({ rule: table.rules[place]!, place }, lookup, columnValue, foregone);
    if (holds === false) continue;
    candidates.push({ place, unknown: holds === true ? undefined : holds });
    if (holds === true && stops) break;
  }
  return candidates;
}

/** Whether a table needs no rule weaker than the first one that surely holds. */
export function stopsAtFirst({ hit, hasExceptions }: CompiledTable): boolean {
  return (hit === 'first' || hit === 'priority') && !hasExceptions;
}

function ruleHolds(
  { rule, place }: { readonly rule: CompiledRule; readonly place: number },
  lookup: Lookup,
  columnValue: (place: number) => Value,
  foregone: Foregone,
): boolean | Unknown {
  let open: Unknown | undefined;
  for (const cell of rule.cells) {
    const holds = cell.run(columnValue(cell.place), lookup);
    if (holds === false) return false;
    if (holds === true) continue;
    const settled = foregone(place, cell.place);
    if (settled === false) return false;
    if (settled === undefined) open = open ? open.and(holds) : holds;
  }
  return open ?? true;
}
