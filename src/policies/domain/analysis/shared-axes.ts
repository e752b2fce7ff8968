import type { Atom, Axis } from '../atoms.js';
import { sameValue, type Known } from '../values.js';
import { isDay, isNumber, nextValue, type Column } from './column-words.js';
import { atomOf, valueOf } from './nice-value.js';

/** One axis for two tables: cut at the ends of both, with the atom of each table that every common atom lies in. */
export interface SharedAxis {
  readonly column: Column;
  /** For each common atom its place on the first table's axis; undefined where that table cannot have it. */
  readonly first: readonly (number | undefined)[] | undefined;
  readonly second: readonly (number | undefined)[] | undefined;
}

/**
 * Joins the axes of two tables that read the same.
 * @returns undefined where one is ordered and the other is not: then the column means something else
 */
export function sharedAxis(first: Column | undefined, second: Column | undefined): SharedAxis | undefined {
  const model = second ?? first;
  if (!model || (first && second && first.axis.kind !== second.axis.kind)) return undefined;
  const both = [first, second].filter((column) => column !== undefined);
  const candidates = model.axis.kind === 'set' ? setAtoms(both) : orderedAtoms(both);
  const atoms = candidates.filter((atom) => both.some((column) => atomOf(column, sampleOf(atom)) !== undefined));
  const column: Column = { ...model, axis: { ...model.axis, atoms } };
  const places = (of: Column | undefined) => of && atoms.map((atom) => atomOf(of, sampleOf(atom)));
  return { column, first: places(first), second: places(second) };
}

function sampleOf(atom: Atom): Known {
  if (atom.kind === 'absent') return null;
  return atom.kind === 'point' ? atom.value : atom.example;
}

function absentAmong(columns: readonly Column[]): Atom[] {
  const any = columns.some(({ axis }) => axis.atoms.some(({ kind }) => kind === 'absent'));
  return any ? [{ kind: 'absent' }] : [];
}

function setAtoms(columns: readonly Column[]): Atom[] {
  const points: Atom[] = [];
  for (const atom of columns.flatMap(({ axis }) => axis.atoms)) {
    if (atom.kind !== 'point') continue;
    const known = points.some((other) => other.kind === 'point' && sameValue(other.value, atom.value));
    if (!known) points.push(atom);
  }
  const other = columns.flatMap(({ axis }) => axis.atoms).find(({ kind }) => kind === 'between');
  return [...points, ...(other ? [other] : []), ...absentAmong(columns)];
}

/** Points of both, and whatever lies between them. */
function orderedAtoms(columns: readonly Column[]): Atom[] {
  const type = columns.find((column) => column.type)?.type;
  const points: Known[] = [];
  for (const { axis } of columns) {
    for (const atom of axis.atoms) {
      if (atom.kind === 'point' && !points.some((value) => sameValue(value, atom.value))) points.push(atom.value);
    }
  }
  points.sort(order);
  const between = points.flatMap((value, place): Atom[] => {
    const high = points[place + 1];
    const point: Atom = { kind: 'point', value };
    if (high === undefined) return [point];
    const example = valueBetween(value, high, nextValue(type, value, 1));
    return example === undefined ? [point] : [point, { kind: 'between', low: value, high, example }];
  });
  const [lowest, highest] = [points[0], points.at(-1)];
  if (lowest === undefined || highest === undefined) return [...freeAtoms(columns), ...absentAmong(columns)];
  const below: Atom = { kind: 'between', high: lowest, example: besides(lowest, -1) };
  const above: Atom = { kind: 'between', low: highest, example: besides(highest, 1) };
  return [below, ...between, above, ...absentAmong(columns)];
}

/** Atoms of axes that no cell cuts. */
function freeAtoms(columns: readonly Column[]): Axis['atoms'] {
  const [column] = columns;
  return column ? column.axis.atoms.filter(({ kind }) => kind === 'between').slice(0, 1) : [];
}

function order(a: Known, b: Known): number {
  if (isNumber(a) && isNumber(b)) return a.comparedTo(b);
  return isDay(a) && isDay(b) ? a.epochDay - b.epochDay : 0;
}

function valueBetween(low: Known, high: Known, next: Known | undefined): Known | undefined {
  if (next !== undefined) return order(next, high) < 0 ? next : undefined;
  return isNumber(low) && isNumber(high) ? low.plus(high).dividedBy(2) : undefined;
}

function besides(value: Known, direction: 1 | -1): Known {
  if (isNumber(value)) return value.plus(direction);
  const next = nextValue(undefined, value, direction);
  return next ?? null;
}

/** A value of a common atom. */
export function sampleAt({ column }: SharedAxis, atom: number): Known {
  return valueOf(column, atom);
}
