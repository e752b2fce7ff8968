import { mergeBoxes, type Budget } from './cover.js';
import { constantResult, resultKey, type OutcomeTable, type Result } from './outcome-table.js';
import type { Box, Space } from './space.js';
import { bestSplit } from './split.js';

/** Part of a space in which two tables come to different results, each to one. */
export interface ChangedRegion {
  readonly boxes: readonly Box[];
  readonly was: Result;
  readonly becomes: Result;
}

/** Regions, and whether those are all. */
export interface Comparison {
  readonly regions: readonly ChangedRegion[];
  readonly complete: boolean;
}

/** Rules of one table near a box: places in order of precedence, with those of their boxes that meet it. */
interface Near {
  readonly full: readonly number[];
  readonly partial: readonly number[];
  readonly boxes: readonly Box[];
}

interface Side {
  readonly table: OutcomeTable;
  /** For each rule near the compared part a number that is equal for equal rules of both tables. */
  readonly same: ReadonlyMap<number, number>;
  readonly near: Near;
}

/**
 * Where two tables over the same space come to different results: exact, by cutting along the ends of both tables' rules until
 * each side comes to one result, or both have the same rules left.
 * @param within the part of the space that is compared
 * @param most regions after which the search stops
 * @throws TooLarge
 */
export function compareTables(
  space: Space,
  tables: { readonly was: OutcomeTable; readonly becomes: OutcomeTable },
  within: Box,
  budget: Budget,
  most = Infinity,
): Comparison {
  const numbers = new Map<string, number>();
  const side = (table: OutcomeTable): Side => {
    const partial = table.precedence.filter((rule) =>
      table.rules[rule]!.boxes.some((part) => space.meets(part, within)),
    );
    const same = new Map(partial.map((rule) => [rule, numbered(numbers, signature(table, rule))]));
    return { table, same, near: { full: [], partial, boxes: [] } };
  };
  const found = new Map<string, { boxes: Box[]; was: Result; becomes: Result }>();
  const note = (box: Box, was: Result, becomes: Result): boolean => {
    const key = regionKey(was, becomes);
    const known = found.get(key);
    if (known) known.boxes.push(box);
    else if (found.size >= most) return false;
    else found.set(key, { boxes: [box], was, becomes });
    return true;
  };
  const visit = (box: Box, a: Side, b: Side): boolean => {
    budget.spend();
    const [left, right] = [narrowed(space, box, a), narrowed(space, box, b)];
    if (sameRulesLeft(left, right)) return true;
    const was = constantResult(left.table, left.near.full, left.near.partial);
    const becomes = constantResult(right.table, right.near.full, right.near.partial);
    if (was && becomes) return resultKey(was) === resultKey(becomes) || note(box, was, becomes);
    const split = bestSplit(space, box, [...left.near.boxes, ...right.near.boxes]);
    if (!split) throw new Error('a box that nothing divides has one result on each side');
    return visit(split.left, left, right) && visit(split.right, left, right);
  };
  const complete = visit(within, side(tables.was), side(tables.becomes));
  const regions = [...found.values()].map((region) => ({ ...region, boxes: mergeBoxes(space, region.boxes) }));
  return { regions, complete };
}

/** Boxes are grouped by what was and what becomes, and by the rules that say so. */
function regionKey(was: Result, becomes: Result): string {
  return JSON.stringify([was, becomes]);
}

/** Which rules of a side still matter in a box. Rules that cover it were found before and stay. */
function narrowed(space: Space, box: Box, side: Side): Side {
  const { table, near } = side;
  const covering: number[] = [];
  const partial: number[] = [];
  const boxes: Box[] = [];
  for (const rule of near.partial) {
    const meeting = table.rules[rule]!.boxes.filter((part) => space.meets(part, box));
    if (meeting.length === 0) continue;
    if (meeting.some((part) => space.holds(part, box))) covering.push(rule);
    else {
      partial.push(rule);
      boxes.push(...meeting);
    }
  }
  const full = covering.length === 0 ? near.full : ordered(table, [...near.full, ...covering]);
  if (!decisive(table) || full.length === 0) return { ...side, near: { full, partial, boxes } };
  // What is weaker than a rule that covers the box cannot matter there.
  const limit = table.rank[full[0]!]!;
  const stronger = partial.filter((rule) => table.rank[rule]! < limit);
  const left = stronger.flatMap((rule) => table.rules[rule]!.boxes.filter((part) => space.meets(part, box)));
  return { ...side, near: { full: full.slice(0, 1), partial: stronger, boxes: left } };
}

/** Whether the strongest rule alone decides, so that weaker ones can be left aside. */
function decisive(table: OutcomeTable): boolean {
  return table.choice === 'first' && table.exceptionTo.every((others) => others.length === 0);
}

function ordered(table: OutcomeTable, rules: readonly number[]): number[] {
  return rules.toSorted((a, b) => table.rank[a]! - table.rank[b]!);
}

function sameRulesLeft(a: Side, b: Side): boolean {
  if (a.table.choice !== b.table.choice || a.table.otherwise !== b.table.otherwise) return false;
  const listed = (side: Side): string =>
    ordered(side.table, [...side.near.full, ...side.near.partial])
      .map((rule) => side.same.get(rule))
      .join();
  const same = listed(a) === listed(b);
  // Exceptions name other rules; two sides that have them are compared by their results.
  return same && [a, b].every(({ table }) => table.exceptionTo.every((others) => others.length === 0));
}

function signature(table: OutcomeTable, rule: number): string {
  const { outcome, boxes } = table.rules[rule]!;
  return `${outcome}/${boxes.map((box) => box.join()).join('/')}`;
}

function numbered(numbers: Map<string, number>, key: string): number {
  const known = numbers.get(key) ?? numbers.size;
  numbers.set(key, known);
  return known;
}
