import type { Box, Space } from './space.js';
import { bestSplit } from './split.js';

/** Steps that an analysis may still take. Shared by its parts, so that a bad table ends with "too large to prove" and does not hang. */
export class Budget {
  constructor(private left: number) {}

  /** @throws TooLarge when none is left */
  spend(steps = 1): void {
    this.left -= steps;
    if (this.left < 0) throw new TooLarge();
  }

  get isSpent(): boolean {
    return this.left < 0;
  }
}

/** The budget of an analysis is used up before there is an answer. */
export class TooLarge extends Error {
  override readonly name = 'TooLarge';
}

/** A box of a rule. */
export interface RuleBox {
  /** Place of the rule in its table. */
  readonly rule: number;
  readonly box: Box;
}

/** Boxes that were found, and whether that is all. */
export interface Found {
  readonly boxes: readonly Box[];
  /** False where the search stopped at its limit: there are at least these. */
  readonly complete: boolean;
}

/**
 * What of a box no rule covers, as boxes that do not overlap. A box is cut along the ends of the rules in it until a rule covers
 * it or none meets it.
 * @param most boxes after which the search stops
 * @throws TooLarge
 */
export function uncovered(space: Space, box: Box, rules: readonly RuleBox[], budget: Budget, most = Infinity): Found {
  const boxes: Box[] = [];
  const all = rules.map((rule) => rule.box);
  const visit = (part: Box, above: readonly Box[]): boolean => {
    budget.spend();
    const near: Box[] = [];
    for (const rule of above) {
      if (!space.meets(rule, part)) continue;
      if (space.holds(rule, part)) return true;
      near.push(rule);
    }
    const split = bestSplit(space, part, near);
    if (!split) {
      if (boxes.length >= most) return false;
      boxes.push(part);
      return true;
    }
    return visit(split.left, near) && visit(split.right, near);
  };
  const complete = visit(box, all);
  return { boxes, complete };
}

/**
 * The rules that together cover all of a box, as few as dropping one after the other leaves; undefined where some of it is free.
 * @throws TooLarge
 */
export function coveredBy(
  space: Space,
  boxes: readonly Box[],
  rules: readonly RuleBox[],
  budget: Budget,
): number[] | undefined {
  const used = new Set<number>();
  for (const box of boxes) {
    if (!covers(space, box, rules, budget, used)) return undefined;
  }
  // What the search happened to use may hold more rules than are needed: each is left out in turn, the last first.
  for (const rule of [...used].toSorted((a, b) => b - a)) {
    const rest = rules.filter((other) => other.rule !== rule && used.has(other.rule));
    if (boxes.every((box) => covers(space, box, rest, budget, new Set()))) used.delete(rule);
  }
  return [...used].toSorted((a, b) => a - b);
}

function covers(space: Space, box: Box, rules: readonly RuleBox[], budget: Budget, used: Set<number>): boolean {
  budget.spend();
  const near: RuleBox[] = [];
  for (const rule of rules) {
    if (!space.meets(rule.box, box)) continue;
    if (space.holds(rule.box, box)) {
      used.add(rule.rule);
      return true;
    }
    near.push(rule);
  }
  const split = bestSplit(
    space,
    box,
    near.map((rule) => rule.box),
  );
  if (!split) return false;
  return covers(space, split.left, near, budget, used) && covers(space, split.right, near, budget, used);
}

/**
 * Free boxes as large as they can be: each is stretched on every axis as far as no rule is met, and those that then lie in another
 * one are left out. The result covers the same part of the space with fewer and plainer boxes, which may overlap.
 * @param free boxes that no rule meets
 * @param within what the boxes may not leave
 */
export function widened(space: Space, free: readonly Box[], rules: readonly RuleBox[], within: Box): Box[] {
  const found: Box[] = [];
  for (const box of free.toSorted((a, b) => space.volume(b) - space.volume(a))) {
    if (found.some((other) => space.holds(other, box))) continue;
    found.push(stretched(space, box, rules, within));
  }
  return found;
}

function stretched(space: Space, box: Box, rules: readonly RuleBox[], within: Box): Box {
  const wide = box.slice();
  const missing = (axis: number): number => space.breadth(within, axis) - space.breadth(box, axis);
  // First the axes that are nearly whole: a column that drops out of a sentence makes it shorter.
  const axes = space.axes.map((_, axis) => axis).toSorted((a, b) => missing(a) - missing(b));
  for (const axis of axes.filter((each) => missing(each) > 0)) {
    const place = axis * 2;
    const slab = wide.slice();
    slab[place] = within[place]!;
    slab[place + 1] = within[place + 1]!;
    const near = rules.filter((rule) => space.meets(rule.box, slab));
    if (space.isRange(axis)) {
      const [low, high] = [wide[place]!, wide[place + 1]!];
      const below = near.map(({ box: rule }) => rule[place + 1]!).filter((end) => end < low);
      const above = near.map(({ box: rule }) => rule[place]!).filter((start) => start > high);
      wide[place] = Math.max(within[place]!, ...below.map((end) => end + 1));
      wide[place + 1] = Math.min(within[place + 1]!, ...above.map((start) => start - 1));
    } else wide[place] = near.reduce((mask, { box: rule }) => mask & ~rule[place]!, within[place]!);
  }
  return wide;
}

/**
 * Joins boxes that touch: two that differ on one axis only and are neighbours or share values there become one. Repeated until
 * nothing joins, so that a finding is few regions and not many shreds.
 * @param boxes boxes that do not overlap
 */
export function mergeBoxes(space: Space, boxes: readonly Box[]): Box[] {
  let merged = [...boxes];
  for (let before = Infinity; merged.length < before;) {
    before = merged.length;
    for (let axis = 0; axis < space.axes.length; axis += 1) merged = mergeAlong(space, merged, axis);
  }
  return merged;
}

function mergeAlong(space: Space, boxes: readonly Box[], axis: number): Box[] {
  const place = axis * 2;
  const groups = new Map<string, Box[]>();
  for (const box of boxes) {
    const rest = box.slice();
    rest[place] = 0;
    rest[place + 1] = 0;
    const key = rest.join();
    const group = groups.get(key);
    if (group) group.push(box);
    else groups.set(key, [box]);
  }
  return [...groups.values()].flatMap((group) => (group.length < 2 ? group : joined(space, group, axis)));
}

function joined(space: Space, group: readonly Box[], axis: number): Box[] {
  const place = axis * 2;
  const sorted = group.map((box) => box.slice()).toSorted((a, b) => a[place]! - b[place]!);
  const found: Box[] = [];
  for (const box of sorted) {
    const last = found.at(-1);
    if (!last) found.push(box);
    else if (!space.isRange(axis)) last[place] = last[place]! | box[place]!;
    else if (box[place]! <= last[place + 1]! + 1) last[place + 1] = Math.max(last[place + 1]!, box[place + 1]!);
    else found.push(box);
  }
  return found;
}
