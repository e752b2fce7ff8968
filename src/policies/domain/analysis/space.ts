/**
 * Geometry of decision tables. A column is an axis cut into atoms: values between which no cell of the table tells a difference.
 * A rule is then a set of boxes, and everything the analysis says is said about boxes of atoms, exactly.
 */

/** One axis: how many atoms it has, and how sets of them are kept. */
export interface AxisShape {
  readonly size: number;
  /** `range`: from one atom to another, ends included. `mask`: any set, one bit for each atom, for at most 31 atoms. */
  readonly kind: 'range' | 'mask';
}

/** Two numbers for each axis: first and last atom of a range, or the bits of a mask and nothing. */
export type Box = Int32Array;

/** Most atoms that a mask can have. */
export const MASK_ATOMS = 31;

/** Most boxes that one rule may be split into; a rule with more is not analysed. */
const MOST_BOXES_OF_A_RULE = 4_096;

/** A table's axes together, and what can be asked of boxes in them. */
export class Space {
  private readonly ranged: Uint8Array;

  constructor(readonly axes: readonly AxisShape[]) {
    this.ranged = Uint8Array.from(axes, ({ kind }) => (kind === 'range' ? 1 : 0));
  }

  /** The box of everything. */
  whole(): Box {
    const box = new Int32Array(this.axes.length * 2);
    for (const [axis, { size, kind }] of this.axes.entries()) {
      box[axis * 2] = kind === 'range' ? 0 : fullMask(size);
      box[axis * 2 + 1] = kind === 'range' ? size - 1 : 0;
    }
    return box;
  }

  isRange(axis: number): boolean {
    return this.ranged[axis] === 1;
  }

  /** Whether two boxes have a point in common. */
  meets(a: Box, b: Box): boolean {
    for (let axis = 0, at = 0; axis < this.ranged.length; axis += 1, at += 2) {
      if (this.ranged[axis] === 1) {
        if (a[at]! > b[at + 1]! || b[at]! > a[at + 1]!) return false;
      } else if ((a[at]! & b[at]!) === 0) return false;
    }
    return true;
  }

  /** Whether every point of the inner box is in the outer one. */
  holds(outer: Box, inner: Box): boolean {
    for (let axis = 0, at = 0; axis < this.ranged.length; axis += 1, at += 2) {
      if (this.ranged[axis] === 1) {
        if (outer[at]! > inner[at]! || outer[at + 1]! < inner[at + 1]!) return false;
      } else if ((inner[at]! & ~outer[at]!) !== 0) return false;
    }
    return true;
  }

  /** The box that two boxes share; undefined where they share nothing. */
  common(a: Box, b: Box): Box | undefined {
    if (!this.meets(a, b)) return undefined;
    const box = new Int32Array(a.length);
    for (let axis = 0, at = 0; axis < this.ranged.length; axis += 1, at += 2) {
      if (this.ranged[axis] === 1) {
        box[at] = Math.max(a[at]!, b[at]!);
        box[at + 1] = Math.min(a[at + 1]!, b[at + 1]!);
      } else box[at] = a[at]! & b[at]!;
    }
    return box;
  }

  /** Points of a box: the product of its atoms, as a number that may be larger than can be counted exactly. */
  volume(box: Box): number {
    let volume = 1;
    for (let axis = 0; axis < this.ranged.length; axis += 1) volume *= this.breadth(box, axis);
    return volume;
  }

  /** Atoms of a box on one axis. */
  breadth(box: Box, axis: number): number {
    const at = axis * 2;
    return this.ranged[axis] === 1 ? box[at + 1]! - box[at]! + 1 : bitCount(box[at]!);
  }

  /** Indices of the atoms of a box on one axis, rising. */
  atoms(box: Box, axis: number): number[] {
    const at = axis * 2;
    if (this.ranged[axis] === 1) {
      return Array.from({ length: box[at + 1]! - box[at]! + 1 }, (_, step) => box[at]! + step);
    }
    return bits(box[at]!);
  }

  /** Whether an axis of a box is all of it. */
  isWhole(box: Box, axis: number): boolean {
    return this.breadth(box, axis) === this.axes[axis]!.size;
  }

  /** Whether a point, one atom for each axis, is in a box. */
  hasPoint(box: Box, point: readonly number[]): boolean {
    return point.every((atom, axis) => {
      const at = axis * 2;
      return this.ranged[axis] === 1 ? box[at]! <= atom && atom <= box[at + 1]! : (box[at]! & (1 << atom)) !== 0;
    });
  }

  /**
   * Boxes of a rule from the atoms it accepts on each axis.
   * @param accepts for each axis the accepted atoms, rising; undefined for all
   * @returns none where an axis accepts nothing; undefined where there would be more than can be worked with
   */
  boxes(accepts: readonly (readonly number[] | undefined)[]): Box[] | undefined {
    let boxes: Box[] = [this.whole()];
    for (const [axis, atoms] of accepts.entries()) {
      if (atoms === undefined || atoms.length === this.axes[axis]!.size) continue;
      const parts = this.isRange(axis) ? runs(atoms) : [[maskOf(atoms), 0] as const];
      if (atoms.length === 0) return [];
      if (boxes.length * parts.length > MOST_BOXES_OF_A_RULE) return undefined;
      boxes = boxes.flatMap((box) =>
        parts.map(([first, second]) => {
          const part = box.slice();
          part[axis * 2] = first;
          part[axis * 2 + 1] = second;
          return part;
        }),
      );
    }
    return boxes;
  }
}

/**
 * Chooses how the atoms of each axis are kept: a mask where the order means nothing or cells have holes and the atoms are few,
 * else a range.
 * @param axes for each axis its size, whether its atoms are ordered, and the accepted atoms of every rule that has a cell there
 */
export function spaceOf(
  axes: readonly {
    readonly size: number;
    readonly ordered: boolean;
    readonly accepted: readonly (readonly number[])[];
  }[],
): Space {
  return new Space(
    axes.map(({ size, ordered, accepted }) => {
      const holes = !ordered || accepted.some((atoms) => runs(atoms).length > 1);
      return { size, kind: size <= MASK_ATOMS && holes ? 'mask' : 'range' };
    }),
  );
}

/** Unbroken runs among rising numbers, as first and last. */
export function runs(atoms: readonly number[]): (readonly [number, number])[] {
  const found: [number, number][] = [];
  for (const atom of atoms) {
    const last = found.at(-1);
    if (last && last[1] === atom - 1) last[1] = atom;
    else found.push([atom, atom]);
  }
  return found;
}

export function maskOf(atoms: readonly number[]): number {
  return atoms.reduce((mask, atom) => mask | (1 << atom), 0);
}

export function bits(mask: number): number[] {
  const found: number[] = [];
  for (let rest = mask; rest !== 0; rest &= rest - 1) found.push(31 - Math.clz32(rest & -rest));
  return found;
}

export function bitCount(mask: number): number {
  let count = 0;
  for (let rest = mask; rest !== 0; rest &= rest - 1) count += 1;
  return count;
}

function fullMask(size: number): number {
  return size === MASK_ATOMS ? 0x7fffffff : (1 << size) - 1;
}
