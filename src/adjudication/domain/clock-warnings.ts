import { compareInstants, daysBetween, endOfDay, instantOf, localDate } from '../../kernel/days.js';
import type { ClockRule } from '../../policies/policies.contract.js';
import type { ClockEnd } from './clock-count.js';

/** Part of a clock in hours after which somebody is warned. House rule. */
const HOURS_GONE = 0.75;

/**
 * When to warn that a clock is about to end, earliest first: at the start of the local days that lie `warnDays` before the last day.
 * A clock in hours warns when a quarter of it is left. Moments before the start are left out.
 * @returns RFC 3339 instants in UTC
 */
export function warningsOf(
  rule: Pick<ClockRule, 'unit' | 'warnDays'>,
  startedAt: string,
  zone: string,
  end: ClockEnd,
): string[] {
  const start = instantOf(startedAt);
  if (rule.unit === 'hours') {
    const gone = Math.floor(start.until(end.endsAt).total('milliseconds') * HOURS_GONE);
    return gone > 0 ? [start.add({ milliseconds: gone }).toString()] : [];
  }
  const days = rule.warnDays ?? usualWarnDays(daysBetween(localDate(startedAt, zone), end.lastDay));
  return [...new Set(days)]
    .sort((a, b) => b - a)
    .map((before) => endOfDay(end.lastDay.subtract({ days: before + 1 }), zone))
    .filter((at) => compareInstants(at, start) > 0)
    .map((at) => at.toString());
}

/** Warning days where a policy names none, by the days that a clock runs in all. House rule. */
function usualWarnDays(days: number): readonly number[] {
  if (days >= 60) return [30, 7, 1];
  if (days >= 10) return [3, 1];
  return days >= 2 ? [1] : [0];
}
