import type { AgeBand, CheckYield, Figures, OpenState, Rate, RuleOverrides } from '../insight.contract.js';
import { rateOf } from './rates.js';

/** Days from which each band of ages begins, from the oldest. */
const BANDS: readonly (readonly [fromDay: number, AgeBand])[] = [
  [30, '30 days and more'],
  [14, '14 to 29 days'],
  [7, '7 to 13 days'],
  [3, '3 to 6 days'],
  [1, '1 to 2 days'],
];

/** The band of an age in whole days; what lies ahead counts as new. */
export function ageBand(days: number): AgeBand {
  return BANDS.find(([from]) => days >= from)?.[1] ?? 'under a day';
}

/** Cases by age and state, each pair once. */
export function openByBand(
  rows: readonly { readonly state: OpenState; readonly days: number; readonly count: number }[],
): Figures['open'] {
  const groups = Map.groupBy(rows, ({ state, days }) => `${ageBand(days)} ${state}`);
  return [...groups.values()].flatMap((same) => {
    const [first] = same;
    if (first === undefined) return [];
    return [{ band: ageBand(first.days), state: first.state, count: sum(same.map(({ count }) => count)) }];
  });
}

/** Rules by how often decisions departed where they had fired; the surest first, so that one departure of one decision does not lead. */
export function overridesOf(
  rows: readonly {
    readonly policy: string;
    readonly rule: string;
    readonly overridden: number;
    readonly decisions: number;
  }[],
): RuleOverrides[] {
  const rated = rows.flatMap(({ policy, rule, overridden, decisions }) => {
    const rate = rateOf(overridden, decisions);
    return rate === undefined ? [] : [{ policy, rule, ...rate }];
  });
  return rated.toSorted((a, b) => surest(a, b) || a.rule.localeCompare(b.rule));
}

/** Checks by how often they moved a finding, the surest first. */
export function yieldsOf(
  rows: readonly (Omit<CheckYield, keyof Rate> & { readonly moved: number; readonly seen: number })[],
): CheckYield[] {
  const rated = rows.flatMap(({ moved, seen, ...rest }) => {
    const rate = rateOf(moved, seen);
    return rate === undefined ? [] : [{ ...rest, ...rate }];
  });
  return rated.toSorted((a, b) => surest(a, b) || a.observation.localeCompare(b.observation));
}

/**
 * Every month from one to another, both within.
 * @param from YYYY-MM @param until YYYY-MM
 * @returns empty where `until` lies before `from`
 */
export function monthsFrom(from: string, until: string): string[] {
  const months: string[] = [];
  const last = Temporal.PlainYearMonth.from(until);
  for (
    let month = Temporal.PlainYearMonth.from(from);
    Temporal.PlainYearMonth.compare(month, last) <= 0;
    month = month.add({ months: 1 })
  )
    months.push(month.toString());
  return months;
}

function surest(a: Rate, b: Rate): number {
  return b.low - a.low || b.of - a.of;
}

function sum(counts: readonly number[]): number {
  return counts.reduce((total, count) => total + count, 0);
}
