import type { FactType, OutcomeValue, PolicyTable } from '../policies.contract.js';
import { Outcomes, type OutcomeKnown } from './compiled-table.js';
import { readTyped } from './values.js';

/** Whether a table makes lists of what its rules give. */
export function gathersLists({ hit, aggregate }: Pick<PolicyTable, 'hit' | 'aggregate'>): boolean {
  return hit === 'rule order' || hit === 'output order' || (hit === 'collect' && aggregate === undefined);
}

/** Type of what one rule gives for an outcome: an element where the table makes the list. */
export function typeOfRuleValue(table: Pick<PolicyTable, 'hit' | 'aggregate'>, type: FactType): FactType {
  if (!gathersLists(table)) return type;
  const { list: _, ...element } = type;
  return element;
}

/**
 * Reads an outcome of a declared type, lists of it where it is declared a list.
 * @returns the value, or a sentence that says why it is not of that type
 */
export function readOutcome(type: FactType, value: unknown): { value: OutcomeKnown } | { wrong: string } {
  if (!type.list) return readTyped(type, value);
  if (value === null) return type.optional ? { value: null } : { wrong: 'null is only for outcomes declared optional' };
  if (!Array.isArray(value)) return { wrong: `${JSON.stringify(value)} is not a list` };
  const { list: _, ...element } = type;
  const list = [];
  for (const item of value) {
    const read = readTyped(element, item);
    if ('wrong' in read) return read;
    list.push(read.value);
  }
  return { value: list };
}

/** What a rule or `otherwise` gives, read by the declared types; values that cannot be read are left out. */
export function readOutcomes(
  types: ReadonlyMap<string, FactType>,
  then: Readonly<Record<string, OutcomeValue>>,
): Outcomes {
  const read = new Map<string, OutcomeKnown>();
  for (const [name, type] of types) {
    const value = readOutcome(type, then[name]);
    if ('value' in value) read.set(name, value.value);
  }
  return new Outcomes(read, types);
}
