import { ranksOf, type Choice, type OutcomeTable } from '../../src/policies/domain/analysis/outcome-table.js';
import { spaceOf, type Space } from '../../src/policies/domain/analysis/space.js';

/** Repeatable chance: mulberry32 (public domain, by Tommy Ettinger; constants from memory). */
export function chance(seed: number): () => number {
  let state = seed >>> 0;
  return () => {
    state = (state + 0x6d2b79f5) >>> 0;
    let mixed = Math.imul(state ^ (state >>> 15), 1 | state);
    mixed = (mixed + Math.imul(mixed ^ (mixed >>> 7), 61 | mixed)) ^ mixed;
    return ((mixed ^ (mixed >>> 14)) >>> 0) / 4_294_967_296;
  };
}

/** A table as lists of accepted atoms, to be looked at point by point. */
export interface PlainTable {
  readonly axes: readonly { readonly size: number; readonly ordered: boolean }[];
  /** For each rule and axis the accepted atoms; undefined for all. */
  readonly accepts: readonly (readonly (readonly number[] | undefined)[])[];
  readonly outcomes: readonly string[];
  readonly choice: Choice;
  readonly otherwise?: string;
}

/** The same table as boxes in a space; its own, or a given one. */
export function geometryOf(table: PlainTable, given?: Space): OutcomeTable {
  const space =
    given ??
    spaceOf(
      table.axes.map((axis, place) => ({
        ...axis,
        accepted: acceptedOn(table, place),
      })),
    );
  const precedence = table.accepts.map((_, rule) => rule);
  return {
    space,
    choice: table.choice,
    rules: table.accepts.map((accepts, rule) => ({
      id: `R${rule + 1}`,
      boxes: space.boxes(accepts) ?? [],
      outcome: table.outcomes[rule] ?? '',
    })),
    precedence,
    rank: ranksOf(precedence, precedence.length),
    exceptionTo: precedence.map(() => []),
    ...(table.otherwise === undefined ? {} : { otherwise: table.otherwise }),
  };
}

export function acceptedOn(table: PlainTable, axis: number): (readonly number[])[] {
  return table.accepts.flatMap((accepts) => {
    const atoms = accepts[axis];
    return atoms ? [atoms] : [];
  });
}

/** Every point of a space. */
export function* pointsOf(axes: PlainTable['axes']): Generator<number[]> {
  const point = axes.map(() => 0);
  for (;;) {
    yield [...point];
    let axis = axes.length - 1;
    for (; axis >= 0; axis -= 1) {
      point[axis] = (point[axis] ?? 0) + 1;
      if ((point[axis] ?? 0) < (axes[axis]?.size ?? 0)) break;
      point[axis] = 0;
    }
    if (axis < 0) return;
  }
}

/** Rules that hold at a point, by looking at each cell. */
export function hitsAt(table: PlainTable, point: readonly number[]): number[] {
  return table.accepts.flatMap((accepts, rule) =>
    accepts.every((atoms, axis) => atoms === undefined || atoms.includes(point[axis] ?? -1)) ? [rule] : [],
  );
}

/** A small table of mixed axes: ranges, ranges with holes, sets, cells left out. */
export function randomTable(random: () => number, axes?: PlainTable['axes']): PlainTable {
  const whole = (least: number, most: number): number => least + Math.floor(random() * (most - least + 1));
  const shape =
    axes ??
    Array.from({ length: whole(1, 4) }, () => {
      const ordered = random() < 0.6;
      return { ordered, size: ordered ? whole(2, 9) : whole(2, 5) };
    });
  const accepts = Array.from({ length: whole(1, 8) }, () =>
    shape.map(({ ordered, size }) => {
      if (random() < 0.3) return undefined;
      const all = Array.from({ length: size }, (_, atom) => atom);
      if (!ordered || random() < 0.15) return all.filter(() => random() < 0.5);
      const low = whole(0, size - 1);
      return all.slice(low, whole(low, size - 1) + 1);
    }),
  );
  return {
    axes: shape,
    accepts,
    outcomes: accepts.map(() => ['yes', 'no', 'ask'][whole(0, 2)] ?? ''),
    choice: random() < 0.6 ? 'first' : (['unique', 'any', 'all'] as const)[whole(0, 2)]!,
    ...(random() < 0.3 ? { otherwise: 'no' } : {}),
  };
}
