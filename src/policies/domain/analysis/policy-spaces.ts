import type { FindingPeriod } from '../../analysis.contract.js';
import type { PolicyDocument } from '../../policies.contract.js';
import type { AtomTable } from '../atoms.js';
import { readTyped } from '../values.js';
import { isDay, type Column } from './column-words.js';
import { decisionSpace, type DecisionSpace } from './decision-space.js';
import { atomOf } from './nice-value.js';
import { givenValues } from './policy-findings.js';
import { Day } from '../values.js';

/** Makes a decision's table as it is on a day. */
export type TableSource = (decision: string, on: string) => AtomTable;

/**
 * Every table of a policy in one period. A column that reads an earlier outcome has only the values that some rule gives; one that
 * reads the governing date has only the days of the period.
 * @param only these decisions; absent: all
 */
export function policySpaces(
  document: PolicyDocument,
  tables: TableSource,
  period: FindingPeriod,
  on: string,
  only?: readonly string[],
): Map<string, DecisionSpace> {
  const spaces = new Map<string, DecisionSpace>();
  for (const { id, table } of document.decisions) {
    if (!table || only?.includes(id) === false) continue;
    spaces.set(
      id,
      decisionSpace(document, tables(id, on), (column) => possibleAtoms(document, column, period)),
    );
  }
  return spaces;
}

function possibleAtoms(document: PolicyDocument, column: Column, period: FindingPeriod): readonly number[] | undefined {
  const { name } = column.axis;
  if (name === undefined) return undefined;
  if (name === document.governedBy) return atomsOfPeriod(column, period);
  const decision = document.decisions.find(({ gives }) => Object.hasOwn(gives, name));
  const values = decision && givenValues(decision, name);
  const type = decision?.gives[name];
  if (!values || !type || type.list === true || usesAll(decision.table?.hit)) return undefined;
  const atoms = values.map((value) => {
    const read = readTyped(type, value);
    return 'value' in read ? atomOf(column, read.value) : undefined;
  });
  return atoms.includes(undefined) ? undefined : [...new Set(atoms as number[])].toSorted((a, b) => a - b);
}

/** Tables whose outcome is put together from several rules can give what no single rule does. */
function usesAll(hit: string | undefined): boolean {
  return hit === 'collect' || hit === 'rule order' || hit === 'output order';
}

/** Atoms of the governing date that have a day in the period. */
function atomsOfPeriod(column: Column, { from, before }: FindingPeriod): number[] {
  const [first, end] = [from, before].map((day) => (day === undefined ? undefined : Day.parse(day)?.epochDay));
  return column.axis.atoms.flatMap((atom, place) => {
    if (atom.kind === 'absent') return [];
    const [low, high] = atom.kind === 'point' ? [atom.value, atom.value] : [atom.low, atom.high];
    const open = atom.kind === 'between' ? 1 : 0;
    const lowest = isDay(low) ? low.epochDay + open : -Infinity;
    const highest = isDay(high) ? high.epochDay - open : Infinity;
    return highest >= (first ?? -Infinity) && lowest < (end ?? Infinity) ? [place] : [];
  });
}
