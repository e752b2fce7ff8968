import { compareTables } from './compare.js';
import { coveredBy, type Budget, type RuleBox } from './cover.js';
import { countsAll, ranksOf, ruleBoxes, type OutcomeTable } from './outcome-table.js';
import { bitCount, type Box, type Space } from './space.js';

/** A rule that never decides because others always come before it. */
export interface MaskedRule {
  readonly rule: number;
  /** Places of the rules that cover it together, as few as are needed. */
  readonly by: readonly number[];
}

/**
 * Rules that can hold and yet never decide: every place where they hold belongs to stronger rules. Stronger are, where the first
 * rule decides, those that come before; everywhere, the exceptions to a rule.
 * @throws TooLarge
 */
export function maskedRules(table: OutcomeTable, budget: Budget): MaskedRule[] {
  const boxes = ruleBoxes(table);
  const places = firstBoxOf(table);
  const exceptions = exceptionsTo(table);
  const found: MaskedRule[] = [];
  for (const [order, rule] of table.precedence.entries()) {
    const { boxes: own } = table.rules[rule]!;
    if (own.length === 0) continue;
    const before =
      table.choice === 'first' && exceptions[rule]!.length === 0 ? table.precedence.slice(0, order) : exceptions[rule]!;
    const stronger = before.flatMap((other) => boxes.slice(places[other], places[other + 1]));
    const near = stronger.filter((other) => own.some((box) => table.space.meets(box, other.box)));
    const by = near.length === 0 ? undefined : coveredBy(table.space, own, near, budget);
    if (by) found.push({ rule, by });
  }
  return found.toSorted((a, b) => a.rule - b.rule);
}

function firstBoxOf(table: OutcomeTable): number[] {
  const places = [0];
  for (const { boxes } of table.rules) places.push(places.at(-1)! + boxes.length);
  return places;
}

/** For each rule the rules that are exceptions to it. */
function exceptionsTo(table: OutcomeTable): number[][] {
  const found: number[][] = table.rules.map(() => []);
  for (const [rule, others] of table.exceptionTo.entries()) for (const other of others) found[other]!.push(rule);
  return found;
}

/**
 * Rules without which the table comes to the same result everywhere, one at a time, though they do decide somewhere.
 * @param masked rules that never decide anyway; they are left out
 * @throws TooLarge
 */
export function redundantRules(table: OutcomeTable, masked: ReadonlySet<number>, budget: Budget): number[] {
  if (countsAll(table)) return [];
  return table.rules.flatMap(({ boxes }, rule) => {
    if (boxes.length === 0 || masked.has(rule)) return [];
    const without = withoutRule(table, rule);
    const same = boxes.every(
      (box) => compareTables(table.space, { was: table, becomes: without }, box, budget, 1).regions.length === 0,
    );
    return same ? [rule] : [];
  });
}

/** The table as if a rule were not in it; its place stays, so that the others keep theirs. */
function withoutRule(table: OutcomeTable, rule: number): OutcomeTable {
  const precedence = table.precedence.filter((other) => other !== rule);
  return {
    ...table,
    precedence,
    rank: ranksOf(precedence, table.rules.length),
    exceptionTo: table.exceptionTo.map((others, place) =>
      place === rule ? [] : others.filter((other) => other !== rule),
    ),
  };
}

/**
 * Pairs of neighbouring rules that could be one: same outcome, and cells that differ in one column only, where they touch.
 * Where the order decides, only rules that follow each other directly are named.
 */
export function mergeablePairs(table: OutcomeTable): [number, number][] {
  const found: [number, number][] = [];
  const byRest = new Map<string, { rule: number; box: Box }[]>();
  for (const { rule, box } of singleBoxes(table)) {
    for (let axis = 0; axis < table.space.axes.length; axis += 1) {
      const rest = box.slice();
      rest.fill(-1, axis * 2, axis * 2 + 2);
      const key = `${table.rules[rule]!.outcome}/${axis}/${rest.join()}`;
      const group = byRest.get(key) ?? [];
      const partner = group.find(
        (other) => joins(table.space, axis, other.box, box) && follows(table, other.rule, rule),
      );
      if (partner) found.push([partner.rule, rule]);
      group.push({ rule, box });
      byRest.set(key, group);
    }
  }
  return found;
}

function singleBoxes(table: OutcomeTable): RuleBox[] {
  return table.rules.flatMap(({ boxes }, rule) => (boxes.length === 1 ? [{ rule, box: boxes[0]! }] : []));
}

function follows(table: OutcomeTable, a: number, b: number): boolean {
  if (table.choice !== 'first') return true;
  return Math.abs(table.rank[a]! - table.rank[b]!) === 1;
}

function joins(space: Space, axis: number, a: Box, b: Box): boolean {
  const at = axis * 2;
  if (!space.isRange(axis)) return a[at] !== b[at] && bitCount(a[at]! & b[at]!) === 0;
  return (a[at] ?? 0) === (b[at + 1] ?? 0) + 1 || (b[at] ?? 0) === (a[at + 1] ?? 0) + 1;
}
