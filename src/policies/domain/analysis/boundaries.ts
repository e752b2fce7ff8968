import { sameValue, type Known } from '../values.js';
import { nextValue, written, type Column } from './column-words.js';
import type { DecisionSpace } from './decision-space.js';
import { atomOf } from './nice-value.js';

/** An end in a column: the two neighbouring atoms between which some cell tells a difference. */
export interface Boundary {
  readonly decision: string;
  readonly column: Column;
  /** Place of the atom below the end; the one above is the next. */
  readonly below: number;
}

/** Every end in the ordered columns of a table that some rule has an end at. */
export function boundariesOf({ table, columns }: DecisionSpace): Boundary[] {
  return columns.flatMap((column, axis) => {
    if (column.axis.kind !== 'ordered') return [];
    const { atoms } = column.axis;
    return atoms.flatMap((_, below): Boundary[] => {
      const next = atoms[below + 1];
      if (!next || next.kind === 'absent') return [];
      const differs = table.rules.some(({ accepts }) => has(accepts[axis]!, below) !== has(accepts[axis]!, below + 1));
      return differs ? [{ decision: table.decision, column, below }] : [];
    });
  });
}

function has(bits: Int32Array, at: number): boolean {
  return (bits[at >>> 5]! & (1 << (at & 31))) !== 0;
}

/** The last value below an end, or the first above it; undefined where values lie so close that there is none. */
export function edgeValue({ column, below }: Boundary, side: 'below' | 'above'): Known | undefined {
  const atom = column.axis.atoms[side === 'below' ? below : below + 1];
  if (!atom || atom.kind === 'absent') return undefined;
  if (atom.kind === 'point') return atom.value;
  const end = side === 'below' ? atom.high : atom.low;
  return end === undefined ? undefined : nextValue(column.type, end, side === 'below' ? -1 : 1);
}

/** Whether a value lies directly at an end; where values have no next one, anywhere up to the next end will do. */
export function touches(boundary: Boundary, side: 'below' | 'above', value: Known): boolean {
  const { column, below } = boundary;
  if (atomOf(column, value) !== (side === 'below' ? below : below + 1)) return false;
  const edge = edgeValue(boundary, side);
  return edge === undefined || sameValue(edge, value);
}

/** Where an end is: `between 7 and 8`, `at 100`. */
export function boundaryWords(boundary: Boundary): string {
  const [low, high] = [edgeValue(boundary, 'below'), edgeValue(boundary, 'above')];
  const say = (value: Known): string => String(written(boundary.column, value));
  if (low !== undefined && high !== undefined) return `between ${say(low)} and ${say(high)}`;
  const only = low ?? high;
  return only === undefined ? 'at an end' : `at ${say(only)}`;
}

/** Text that is equal for the same end in another period. */
export function boundaryKey(boundary: Boundary): string {
  const { decision, column } = boundary;
  return JSON.stringify([decision, column.axis.column, boundaryWords(boundary)]);
}
