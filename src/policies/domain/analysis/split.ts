import { bits, bitCount, type Box, type Space } from './space.js';

/** A box cut in two along one axis. */
export interface Split {
  readonly left: Box;
  readonly right: Box;
}

/** How much a box on both sides of a cut weighs against an uneven cut; found by trial on random tables of 1,500 rules. */
const COST_OF_A_CUT_RULE = 1.5;

/** Most different masks that are tried on one axis. */
const MOST_MASKS = 24;

/**
 * Cuts a box where it leaves the least work: along an end of one of the rule boxes in it, so that the larger side is small and
 * few rule boxes lie on both sides.
 * @param rules rule boxes that meet the box
 * @returns undefined where every rule box covers the whole box
 */
export function bestSplit(space: Space, box: Box, rules: readonly Box[]): Split | undefined {
  let best: { readonly cost: number; readonly axis: number; readonly at: number } | undefined;
  for (let axis = 0; axis < space.axes.length; axis += 1) {
    const found = space.isRange(axis) ? bestCut(box, axis, rules) : bestMask(box, axis, rules);
    if (found && (best === undefined || found.cost < best.cost)) best = { ...found, axis };
  }
  if (best === undefined) return undefined;
  const [left, right] = [box.slice(), box.slice()];
  const place = best.axis * 2;
  if (space.isRange(best.axis)) {
    left[place + 1] = best.at;
    right[place] = best.at + 1;
  } else {
    left[place] = best.at;
    right[place] = box[place]! & ~best.at;
  }
  return { left, right };
}

/** Cheapest cut behind an atom of a range. */
function bestCut(box: Box, axis: number, rules: readonly Box[]): { cost: number; at: number } | undefined {
  const place = axis * 2;
  const [low, high] = [box[place]!, box[place + 1]!];
  if (low === high) return undefined;
  const width = high - low + 1;
  const starts = new Int32Array(width + 1);
  const ends = new Int32Array(width + 1);
  for (const rule of rules) {
    const [from, to] = [Math.max(rule[place]!, low) - low, Math.min(rule[place + 1]!, high) - low];
    starts[from] = starts[from]! + 1;
    ends[to] = ends[to]! + 1;
  }
  let best: { cost: number; at: number } | undefined;
  let [left, ended] = [0, 0];
  for (let atom = 0; atom < width - 1; atom += 1) {
    left += starts[atom]!;
    ended += ends[atom]!;
    // A cut makes sense only where a rule box ends before it or starts behind it.
    if (ends[atom] === 0 && starts[atom + 1] === 0) continue;
    const right = rules.length - ended;
    const cost = Math.max(left, right) + COST_OF_A_CUT_RULE * (left + right - rules.length);
    if (best === undefined || cost < best.cost) best = { cost, at: low + atom };
  }
  return best;
}

/** Cheapest division of a mask: one rule's values against the rest, or one value against the rest. */
function bestMask(box: Box, axis: number, rules: readonly Box[]): { cost: number; at: number } | undefined {
  const place = axis * 2;
  const all = box[place]!;
  if (bitCount(all) < 2) return undefined;
  const masks = new Map<number, number>();
  for (const rule of rules) {
    const mask = rule[place]! & all;
    masks.set(mask, (masks.get(mask) ?? 0) + 1);
  }
  if (masks.size === 1 && masks.has(all)) return undefined;
  const tried = new Set<number>([...masks.keys()].filter((mask) => mask !== all).slice(0, MOST_MASKS));
  for (const bit of bits(all)) if (tried.size < MOST_MASKS) tried.add(1 << bit);
  let best: { cost: number; at: number } | undefined;
  for (const mask of tried) {
    let [left, right] = [0, 0];
    for (const [other, count] of masks) {
      if ((other & mask) !== 0) left += count;
      if ((other & all & ~mask) !== 0) right += count;
    }
    const cost = Math.max(left, right) + COST_OF_A_CUT_RULE * (left + right - rules.length);
    if (best === undefined || cost < best.cost) best = { cost, at: mask };
  }
  return best;
}
