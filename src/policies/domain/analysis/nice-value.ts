import type { Known } from '../values.js';
import { isNumber, stretches, type Column } from './column-words.js';

/**
 * The value of a set of atoms that reads best in an example: an end that is included, then a value that a cell names, then one
 * between. Null where only absence is left; undefined where the set is empty.
 */
export function niceValue(column: Column, atoms: readonly number[]): Known | undefined {
  const { axis } = column;
  const known = atoms.filter((atom) => axis.atoms[atom]?.kind !== 'absent');
  if (known.length === 0) return atoms.length === 0 ? undefined : null;
  if (axis.kind === 'set') return valueOf(column, known[0]!);
  const [stretch] = stretches(column, known);
  for (const end of [stretch?.low, stretch?.high]) if (end && !end.open) return end.value;
  const point = known.find((atom) => axis.atoms[atom]?.kind === 'point');
  return valueOf(column, point ?? known[0]!);
}

/** One value of an atom. */
export function valueOf(column: Column, place: number): Known {
  const atom = column.axis.atoms[place];
  if (!atom || atom.kind === 'absent') return null;
  return atom.kind === 'point' ? atom.value : atom.example;
}

/** Place of the atom that a value belongs to; undefined where the column cannot have it. */
export function atomOf(column: Column, value: Known): number | undefined {
  const { atoms, kind } = column.axis;
  const place = atoms.findIndex((atom) => {
    if (atom.kind === 'absent') return value === null;
    if (value === null) return false;
    if (atom.kind === 'point') return compared(atom.value, value) === 0;
    if (kind === 'set') return false;
    const above = atom.low === undefined || compared(value, atom.low) > 0;
    return above && (atom.high === undefined || compared(value, atom.high) < 0);
  });
  if (place !== -1) return place;
  const rest = kind === 'set' && value !== null ? atoms.findIndex((atom) => atom.kind === 'between') : -1;
  return rest === -1 ? undefined : rest;
}

/** Order of two values of one column; not a number where they have none. */
function compared(a: Known, b: Known): number {
  if (isNumber(a) && isNumber(b)) return a.comparedTo(b);
  if (a === b) return 0;
  if (a === null || b === null || typeof a !== 'object' || typeof b !== 'object') return Number.NaN;
  if (isNumber(a) || isNumber(b)) return Number.NaN;
  return Math.sign(a.epochDay - b.epochDay);
}
