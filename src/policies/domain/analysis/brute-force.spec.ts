import { describe, expect, it } from 'vitest';
import {
  acceptedOn,
  chance,
  geometryOf,
  hitsAt,
  pointsOf,
  randomTable,
  type PlainTable,
} from '../../../../tests/support/random-tables.js';
import { compareTables } from './compare.js';
import { Budget, coveredBy, mergeBoxes, uncovered } from './cover.js';
import { resultKey, resultOf, ruleBoxes } from './outcome-table.js';
import { overlaps } from './overlap.js';
import { maskedRules, redundantRules } from './rule-checks.js';
import { spaceOf } from './space.js';

/** Everything here is compared with looking at every point of the space, which needs no geometry. */
const TABLES = 600;

const budget = (): Budget => new Budget(1_000_000);
const seeds = Array.from({ length: TABLES }, (_, seed) => seed + 1);
const show = (table: PlainTable): string => JSON.stringify(table);

describe(`${TABLES} random small tables`, { timeout: 60_000 }, () => {
  it('have the gaps that points show, before and after merging', () => {
    for (const seed of seeds) {
      const plain = randomTable(chance(seed));
      const { space, ...table } = geometryOf(plain);
      const points = [...pointsOf(plain.axes)];
      const free = points.filter((point) => hitsAt(plain, point).length === 0);
      const found = uncovered(space, space.whole(), ruleBoxes({ space, ...table }), budget());
      expect(
        found.boxes.reduce((sum, box) => sum + space.volume(box), 0),
        show(plain),
      ).toBe(free.length);
      const merged = mergeBoxes(space, found.boxes);
      expect(merged.length).toBeLessThanOrEqual(found.boxes.length);
      const inside = points.filter((point) => merged.some((box) => space.hasPoint(box, point)));
      expect(inside, show(plain)).toEqual(free);
    }
  });

  it('have the overlapping pairs that points show, with everything that they share', () => {
    for (const seed of seeds) {
      const plain = randomTable(chance(seed));
      const table = geometryOf(plain);
      const shared = new Map<string, number>();
      for (const point of pointsOf(plain.axes)) {
        const hits = hitsAt(plain, point);
        for (const a of hits)
          for (const b of hits) if (a < b) shared.set(`${a}/${b}`, (shared.get(`${a}/${b}`) ?? 0) + 1);
      }
      const found = overlaps(table.space, ruleBoxes(table), Infinity);
      const volumes = found.pairs.map(({ rules, boxes }) => [
        rules.join('/'),
        // Boxes of one rule never overlap, so what two rules share is the sum of what their boxes share.
        boxes.reduce((sum, box) => sum + table.space.volume(box), 0),
      ]);
      expect(new Map(volumes as [string, number][]), show(plain)).toEqual(
        new Map([...shared].toSorted(([a], [b]) => a.localeCompare(b))),
      );
    }
  });

  it('have the masked rules that points show, and coverers of which none can be spared', () => {
    for (const seed of seeds) {
      const plain: PlainTable = { ...randomTable(chance(seed)), choice: 'first' };
      const table = geometryOf(plain);
      const points = [...pointsOf(plain.axes)];
      const holds = plain.accepts.map((_, rule) => points.some((point) => hitsAt(plain, point).includes(rule)));
      const decides = plain.accepts.map((_, rule) => points.some((point) => hitsAt(plain, point)[0] === rule));
      const found = maskedRules(table, budget());
      expect(
        found.map(({ rule }) => rule),
        show(plain),
      ).toEqual(plain.accepts.flatMap((_, rule) => (holds[rule] && !decides[rule] ? [rule] : [])));
      for (const { rule, by } of found) {
        const boxes = (rules: readonly number[]) => ruleBoxes(table).filter((each) => rules.includes(each.rule));
        const { boxes: own } = table.rules[rule]!;
        expect(coveredBy(table.space, own, boxes(by), budget())).toBeDefined();
        for (const spared of by) {
          expect(coveredBy(table.space, own, boxes(by.filter((other) => other !== spared)), budget())).toBeUndefined();
        }
      }
    }
  });

  it('have the redundant rules that points show', () => {
    for (const seed of seeds) {
      const plain = randomTable(chance(seed));
      if (plain.choice === 'all') continue;
      const table = geometryOf(plain);
      const masked = new Set(maskedRules(table, budget()).map(({ rule }) => rule));
      const points = [...pointsOf(plain.axes)];
      const expected = plain.accepts.flatMap((_, rule) => {
        if (masked.has(rule) || !points.some((point) => hitsAt(plain, point).includes(rule))) return [];
        const same = points.every((point) => {
          const hits = hitsAt(plain, point);
          const without = hits.filter((hit) => hit !== rule);
          return resultKey(resultOf(table, hits)) === resultKey(resultOf(table, without));
        });
        return same ? [rule] : [];
      });
      expect(redundantRules(table, masked, budget()), show(plain)).toEqual(expected);
    }
  });

  it('differ from each other exactly where points say so', () => {
    for (const seed of seeds) {
      const random = chance(seed);
      const first = randomTable(random);
      const second = random() < 0.5 ? randomTable(random, first.axes) : edited(first, random);
      const space = spaceOf(
        first.axes.map((axis, place) => ({
          ...axis,
          accepted: [...acceptedOn(first, place), ...acceptedOn(second, place)],
        })),
      );
      const [was, becomes] = [geometryOf(first, space), geometryOf(second, space)];
      const { regions } = compareTables(space, { was, becomes }, space.whole(), budget());
      const wrong = [...pointsOf(first.axes)].filter((point) => {
        const before = resultKey(resultOf(was, hitsAt(first, point)));
        const after = resultKey(resultOf(becomes, hitsAt(second, point)));
        const inside = regions.filter(({ boxes }) => boxes.some((box) => space.hasPoint(box, point)));
        const said = inside.map((region) => `${resultKey(region.was)} ${resultKey(region.becomes)}`).join();
        return said !== (before === after ? '' : `${before} ${after}`);
      });
      expect(wrong, `${show(first)} ${show(second)}`).toEqual([]);
    }
  });
});

/** Two edits: a rule's outcome, and two rows exchanged. */
function edited(table: PlainTable, random: () => number): PlainTable {
  const outcomes = [...table.outcomes];
  outcomes[Math.floor(random() * outcomes.length)] = 'edited';
  const accepts = [...table.accepts];
  [accepts[0], accepts[accepts.length - 1]] = [accepts.at(-1)!, accepts[0]!];
  return { ...table, accepts, outcomes };
}
