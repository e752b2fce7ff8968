import type { PolicyDocument } from '../../policies.contract.js';
import { atomTable } from '../atom-table.js';
import type { AtomTable } from '../atoms.js';
import { compileDecisions } from '../compile-decisions.js';
import type { TableSource } from './policy-spaces.js';

/**
 * Tables of a document as they are on a day, cut by the very code that runs them. Each is made once a day.
 * @param document that compiles without faults
 */
export function tableSource(document: PolicyDocument): TableSource {
  const decisions = new Map(compileDecisions(document, []).map((decision) => [decision.id, decision]));
  const made = new Map<string, AtomTable>();
  return (id, on) => {
    const key = `${on} ${id}`;
    const known = made.get(key);
    if (known) return known;
    const decision = decisions.get(id);
    const table = decision && atomTable(document, decision, on);
    if (!table) throw new RangeError(`the decision "${id}" is no table that compiles`);
    made.set(key, table);
    return table;
  };
}
