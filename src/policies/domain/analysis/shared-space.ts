import type { PolicyRule } from '../../policies.contract.js';
import type { AtomRule, AtomTable } from '../atoms.js';
import { hasBit } from '../bits.js';
import type { Column } from './column-words.js';
import type { DecisionSpace } from './decision-space.js';
import type { OutcomeTable } from './outcome-table.js';
import { sharedAxis, type SharedAxis } from './shared-axes.js';
import { spaceOf, type Box, type Space } from './space.js';

/** One version's table with its rules as they are written. */
export interface VersionTable {
  readonly space: DecisionSpace;
  readonly rules: readonly PolicyRule[];
}

/** Two tables in one space. */
export interface SharedSpace {
  readonly columns: readonly Column[];
  /** Whether a column stands for cells that could not be cut, rather than for something that a claim has. */
  readonly isCondition: readonly boolean[];
  readonly space: Space;
  readonly was: OutcomeTable;
  readonly becomes: OutcomeTable;
  /** What can occur in both versions. */
  readonly domain: Box;
}

/**
 * Puts two tables into one space whose axes are cut at the ends of both. Columns are the same where they read the same, whatever they
 * are called; one that only one version has is left open by the other. Cells that cannot be cut become a yes-or-no axis of their own, the
 * same for equal cells, so that what they decide is not mistaken for a change.
 * @returns the expression of a column that cannot be compared, or the space
 */
export function sharedSpace(was: VersionTable, becomes: VersionTable): SharedSpace | { readonly incomparable: string } {
  const axes: SharedAxis[] = [];
  const expressions = [...becomes.space.columns, ...was.space.columns].map(({ axis }) => axis.expression);
  for (const expression of new Set(expressions)) {
    const axis = sharedAxis(columnReading(was, expression), columnReading(becomes, expression));
    if (!axis) return { incomparable: expression };
    axes.push(axis);
  }
  const conditions = [...new Set([...openConditions(was), ...openConditions(becomes)])];
  const accepted = {
    was: acceptedBy(was, axes, 'first', conditions),
    becomes: acceptedBy(becomes, axes, 'second', conditions),
  };
  const shapes = [
    ...axes.map(({ column }) => ({ size: column.axis.atoms.length, ordered: column.axis.kind === 'ordered' })),
    ...conditions.map(() => ({ size: 2, ordered: false })),
  ];
  const limits = [...axes.map(possible(was.space, becomes.space)), ...conditions.map(() => undefined)];
  const space = spaceOf(
    shapes.map((shape, axis) => ({
      ...shape,
      accepted: [...accepted.was, ...accepted.becomes, limits].flatMap((rule) => (rule[axis] ? [rule[axis]] : [])),
    })),
  );
  return {
    columns: [...axes.map(({ column }) => column), ...conditions.map(conditionColumn)],
    isCondition: shapes.map((_, axis) => axis >= axes.length),
    space,
    was: placed(was, space, accepted.was),
    becomes: placed(becomes, space, accepted.becomes),
    domain: space.boxes(limits)?.[0] ?? space.whole(),
  };
}

type Accepted = readonly (readonly number[] | undefined)[];

function columnReading({ space }: VersionTable, expression: string): Column | undefined {
  return space.columns.find(({ axis }) => axis.expression === expression);
}

function openConditions({ space, rules }: VersionTable): string[] {
  return [...space.open].map((place) => conditionOf(space.table, rules, place));
}

/** The cells of a rule that has one which cannot be cut, as text. */
function conditionOf(table: AtomTable, rules: readonly PolicyRule[], place: number): string {
  const when = rules[place]?.when ?? {};
  const reads = new Map(table.axes.map(({ column, expression }) => [column, expression]));
  return JSON.stringify(Object.entries(when).map(([column, cell]) => [reads.get(column) ?? column, cell]));
}

function conditionColumn(text: string): Column {
  const cells = JSON.parse(text) as [string, string][];
  const expression = `"${cells.map(([column, cell]) => `${column}: ${cell}`).join('; ')}"`;
  const atoms = [true, false].map((value) => ({ kind: 'point', value }) as const);
  return { axis: { column: text, expression, kind: 'set', atoms } };
}

function acceptedBy(
  { space, rules }: VersionTable,
  axes: readonly SharedAxis[],
  side: 'first' | 'second',
  conditions: readonly string[],
): Accepted[] {
  const { table, open } = space;
  return table.rules.map((rule, place) => [
    ...axes.map((axis) => acceptedAtoms(table, rule, axis, side)),
    ...conditions.map((text) => (open.has(place) && conditionOf(table, rules, place) === text ? [0] : undefined)),
  ]);
}

function acceptedAtoms(
  table: AtomTable,
  rule: AtomRule,
  axis: SharedAxis,
  side: 'first' | 'second',
): number[] | undefined {
  const places = axis[side];
  const at = table.axes.findIndex(({ expression }) => expression === axis.column.axis.expression);
  if (!places || at === -1) return undefined;
  const bits = table.axes.flatMap(({ expression }, each) =>
    expression === axis.column.axis.expression ? [rule.accepts[each]!] : [],
  );
  return places.flatMap((place, atom) =>
    place !== undefined && bits.every((accepts) => hasBit(accepts, place)) ? [atom] : [],
  );
}

/** Common atoms that can occur in both versions; undefined for all. */
function possible(was: DecisionSpace, becomes: DecisionSpace) {
  return (axis: SharedAxis): number[] | undefined => {
    const occurs = (space: DecisionSpace, places: SharedAxis['first']) => {
      if (!places) return () => true;
      const at = space.columns.findIndex((column) => column.axis.expression === axis.column.axis.expression);
      const atoms = new Set(space.geometry.space.atoms(space.domain, at));
      return (atom: number): boolean => atoms.has(places[atom] ?? -1);
    };
    const [before, after] = [occurs(was, axis.first), occurs(becomes, axis.second)];
    const all = axis.column.axis.atoms.map((_, atom) => atom);
    const both = all.filter((atom) => before(atom) && after(atom));
    return both.length === all.length || both.length === 0 ? undefined : both;
  };
}

function placed({ space }: VersionTable, shared: Space, accepted: readonly Accepted[]): OutcomeTable {
  const { geometry } = space;
  return {
    ...geometry,
    space: shared,
    rules: geometry.rules.map((rule, place) => ({ ...rule, boxes: shared.boxes(accepted[place] ?? []) ?? [] })),
  };
}
