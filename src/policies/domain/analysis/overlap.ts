import type { RuleBox } from './cover.js';
import type { Box, Space } from './space.js';

/** Two rules that hold for the same facts, and where. */
export interface OverlapPair {
  /** Places of the rules in their table, the earlier first. */
  readonly rules: readonly [number, number];
  /** What they share; several where a rule has several boxes. */
  readonly boxes: readonly Box[];
}

/** Pairs that were found, and whether those are all. */
export interface Overlaps {
  readonly pairs: readonly OverlapPair[];
  readonly complete: boolean;
}

/** Pairs of rules with something in common: a sweep along the axis that separates the rules best. */
export function overlaps(space: Space, rules: readonly RuleBox[], most: number): Overlaps {
  const axis = mostSelective(space, rules);
  const low = (box: Box): number => (axis === undefined ? 0 : box[axis * 2]!);
  const high = (box: Box): number => (axis === undefined ? 0 : box[axis * 2 + 1]!);
  const sorted = [...rules].toSorted((a, b) => low(a.box) - low(b.box) || a.rule - b.rule);
  const found = new Map<number, { rules: [number, number]; boxes: Box[] }>();
  const count = rules.reduce((largest, { rule }) => Math.max(largest, rule), 0) + 1;
  let active: RuleBox[] = [];
  for (const rule of sorted) {
    const start = low(rule.box);
    active = active.filter(({ box }) => high(box) >= start);
    for (const other of active) {
      if (other.rule === rule.rule) continue;
      const shared = space.common(other.box, rule.box);
      if (!shared) continue;
      const pair: [number, number] = other.rule < rule.rule ? [other.rule, rule.rule] : [rule.rule, other.rule];
      const key = pair[0] * count + pair[1];
      const known = found.get(key);
      if (known) known.boxes.push(shared);
      else if (found.size < most) found.set(key, { rules: pair, boxes: [shared] });
      else return { pairs: inOrder(found.values()), complete: false };
    }
    active.push(rule);
  }
  return { pairs: inOrder(found.values()), complete: true };
}

function inOrder(pairs: Iterable<OverlapPair>): OverlapPair[] {
  return [...pairs].toSorted((a, b) => a.rules[0] - b.rules[0] || a.rules[1] - b.rules[1]);
}

/** The range axis on which rule boxes are narrowest on the whole; undefined where no axis is a range. */
function mostSelective(space: Space, rules: readonly RuleBox[]): number | undefined {
  let best: { axis: number; breadth: number } | undefined;
  for (const [axis, { size, kind }] of space.axes.entries()) {
    if (kind === 'mask') continue;
    const total = rules.reduce((sum, { box }) => sum + space.breadth(box, axis), 0);
    const breadth = total / Math.max(1, rules.length * size);
    if (best === undefined || breadth < best.breadth) best = { axis, breadth };
  }
  return best?.axis;
}
