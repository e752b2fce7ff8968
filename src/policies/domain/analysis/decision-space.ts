import type { PolicyDocument } from '../../policies.contract.js';
import type { AtomTable } from '../atoms.js';
import { bitIndices } from '../bits.js';
import { columnOf, type Column } from './column-words.js';
import { ranksOf, type Choice, type OutcomeTable } from './outcome-table.js';
import { spaceOf, type Box } from './space.js';

/** A decision table on one day, as the analysis works on it. */
export interface DecisionSpace {
  readonly table: AtomTable;
  readonly columns: readonly Column[];
  readonly geometry: OutcomeTable;
  /** What can occur: columns that read an earlier outcome have only what that decision can give. */
  readonly domain: Box;
  /** Places of rules that may hold where their boxes are, and need not: they have a cell that is not cut into atoms. */
  readonly open: ReadonlySet<number>;
  /** Places of rules that fall into more boxes than can be worked with. */
  readonly tooLarge: readonly number[];
}

const CHOICES: Readonly<Record<AtomTable['hit'], Choice>> = {
  unique: 'unique',
  any: 'any',
  first: 'first',
  priority: 'first',
  'rule order': 'all',
  'output order': 'all',
  collect: 'together',
};

/**
 * Puts a table into the geometry of the analysis.
 * @param possible for a column the atoms that can occur; undefined for all
 */
export function decisionSpace(
  document: PolicyDocument,
  table: AtomTable,
  possible: (column: Column) => readonly number[] | undefined,
): DecisionSpace {
  const accepted = table.rules.map((rule) => rule.accepts.map((bits) => bitIndices(bits)));
  const columns = table.axes.map((axis) => columnOf(document, axis));
  const limits = columns.map(possible);
  const space = spaceOf(
    table.axes.map(({ kind, atoms }, axis) => ({
      size: atoms.length,
      ordered: kind === 'ordered',
      accepted: [...accepted.map((accepts) => accepts[axis] ?? []), ...(limits[axis] ? [limits[axis]] : [])],
    })),
  );
  const places = new Map(table.rules.map(({ id }, place) => [id, place]));
  const boxes = accepted.map((accepts) => space.boxes(accepts));
  const domain = space.boxes(limits);
  const geometry: OutcomeTable = {
    space,
    choice: CHOICES[table.hit],
    rules: table.rules.map(({ id, outcome }, place) => ({ id, outcome, boxes: boxes[place] ?? [] })),
    precedence: table.precedence,
    rank: ranksOf(table.precedence, table.rules.length),
    exceptionTo: table.rules.map(({ overrides }) => overrides.flatMap((id) => places.get(id) ?? [])),
    ...(table.otherwise === undefined ? {} : { otherwise: table.otherwise }),
  };
  return {
    table,
    columns,
    geometry,
    // Limits with holes on a long axis would be several boxes; then the whole axis is taken, which errs on the side of saying more.
    domain: domain?.length === 1 ? domain[0]! : space.whole(),
    open: new Set(table.rules.flatMap(({ open }, place) => (open ? [place] : []))),
    tooLarge: boxes.flatMap((each, place) => (each === undefined ? [place] : [])),
  };
}

/** A box of a table in words, columns that are whole left out: `defect is frame and days is 8 to 730`; empty for everything. */
export function boxAtoms({ geometry, domain }: DecisionSpace, box: Box): { axis: number; atoms: number[] }[] {
  const { space } = geometry;
  return space.axes.flatMap((_, axis) => {
    const whole = space.breadth(box, axis) >= space.breadth(domain, axis);
    return whole ? [] : [{ axis, atoms: space.atoms(box, axis) }];
  });
}
