import type { PolicyDocument } from '../policies.contract.js';
import type { AtomTable } from './atoms.js';
import { fullBits, type Bits } from './bits.js';
import type { CompiledDecision } from './compile-decisions.js';
import type { CompiledCell, CompiledTable } from './compiled-table.js';
import { cutColumn, type CutColumn } from './cut-column.js';
import { DatedParameters } from './dated-parameters.js';
import type { Lookup } from './run-expression.js';
import { Day } from './values.js';

/** Every column of a table cut into atoms. @param parameters values of parameters on a day */
export function cutTable(table: CompiledTable, parameters: Lookup): CutColumn[] {
  const cells: CompiledCell[][] = table.columns.map(() => []);
  for (const rule of table.rules) for (const cell of rule.cells) cells[cell.place]!.push(cell);
  return table.columns.map((column, place) => cutColumn(column, cells[place]!, parameters));
}

/**
 * A decision table as products of sets of atoms, as it is on one day: the very atoms by which it is run.
 * @param decision of the document, compiled without faults
 * @param on date like 2026-03-01, by which dated parameters are chosen
 * @returns undefined where the decision is an expression
 * @throws RangeError on a bad date
 */
export function atomTable(document: PolicyDocument, decision: CompiledDecision, on: string): AtomTable | undefined {
  if (!('table' in decision)) return undefined;
  const day = Day.parse(on);
  if (!day) throw new RangeError(`"${on}" is not a date like 2026-03-01`);
  const { table } = decision;
  const columns = cutTable(table, new DatedParameters(document.parameters).lookupOn(day));
  const all = columns.map(({ axis }) => fullBits(axis.atoms.length));
  return {
    decision: decision.id,
    hit: table.hit,
    axes: columns.map(({ axis }) => axis),
    rules: table.rules.map(({ id, cells, outcomes, overrides }) => {
      const accepts: Bits[] = [...all];
      let open = false;
      for (const { place, text } of cells) {
        const accepted = columns[place]!.accepts.get(text);
        if (accepted) accepts[place] = accepted;
        else open = true;
      }
      return { id, accepts, outcome: outcomes.key, open, overrides: overrides.map((base) => table.rules[base]!.id) };
    }),
    precedence: table.precedence,
    ...(table.otherwise && { otherwise: table.otherwise.outcomes.key }),
  };
}
