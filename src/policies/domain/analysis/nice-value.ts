import type { Atom } from '../atoms.js';
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
  if (value === null) return placeOrNone(atoms.findLastIndex((atom) => atom.kind === 'absent'));
  if (kind === 'ordered') return orderedAtomOf(atoms, value);
  const named = atoms.findIndex((atom) => atom.kind === 'point' && compared(atom.value, value) === 0);
  return placeOrNone(named === -1 ? atoms.findIndex((atom) => atom.kind === 'between') : named);
}

function placeOrNone(place: number): number | undefined {
  return place === -1 ? undefined : place;
}

/** Atoms rise, so that a long column is halved and not walked through. */
function orderedAtomOf(atoms: readonly Atom[], value: Known): number | undefined {
  let [low, high] = [0, atoms.length - 1];
  while (low <= high) {
    const middle = (low + high) >>> 1;
    const side = sideOf(atoms[middle]!, value);
    if (side === 0) return middle;
    if (Number.isNaN(side)) return undefined;
    if (side < 0) high = middle - 1;
    else low = middle + 1;
  }
  return undefined;
}

/** Below an atom, in it, or above it: −1, 0 or 1. What is absent lies above everything. */
function sideOf(atom: Atom, value: Known): number {
  if (atom.kind === 'absent') return -1;
  if (atom.kind === 'point') return compared(value, atom.value);
  const [overLow, overHigh] = [
    atom.low === undefined ? 1 : compared(value, atom.low),
    atom.high === undefined ? -1 : compared(value, atom.high),
  ];
  if (Number.isNaN(overLow) || Number.isNaN(overHigh)) return Number.NaN;
  return overLow <= 0 ? -1 : overHigh >= 0 ? 1 : 0;
}

/** Order of two values of one column; not a number where they have none. */
function compared(a: Known, b: Known): number {
  if (isNumber(a) && isNumber(b)) return a.comparedTo(b);
  if (a === b) return 0;
  if (a === null || b === null || typeof a !== 'object' || typeof b !== 'object') return Number.NaN;
  if (isNumber(a) || isNumber(b)) return Number.NaN;
  return Math.sign(a.epochDay - b.epochDay);
}
