import {
  addBusinessDays,
  addMonths,
  compareInstants,
  dayAfter,
  daysBetween,
  endOfDay,
  isBusinessDay,
  localDate,
  type BusinessWeek,
  type IsHoliday,
} from '../../kernel/days.js';
import type { ClockRule } from '../../policies/policies.contract.js';

/** Last local date of a clock and the instant from which it is missed. */
export interface ClockEnd {
  readonly lastDay: Temporal.PlainDate;
  readonly endsAt: Temporal.Instant;
}

/** Where a clock runs, and from when. */
export interface ClockPlace {
  /** RFC 3339 instant */
  readonly startedAt: string;
  /** IANA time zone */
  readonly zone: string;
  readonly isHoliday: IsHoliday;
}

/** A stretch during which a clock stood still, as RFC 3339 instants. */
export interface Wait {
  readonly from: string;
  readonly until: string;
  /** Both days are part of the wait: the Consumer Rights Act 2015 s.22(8) counts so. */
  readonly inclusive: boolean;
  /** Days that are left after the wait at the least. */
  readonly afterWait: number;
}

type Counting = Pick<ClockRule, 'unit' | 'week' | 'inclusive' | 'rolls'>;

/**
 * When a clock ends. Hours are exact; everything else is counted in local dates and ends with the last day at the place.
 * An inclusive count takes the start day as day 1; a rolling one goes on to the next business day (Regulation (EEC, Euratom)
 * 1182/71 art. 3(4) is such a rule). A wait that begins on or before the last day moves the end by its own length.
 * @param length whole number of the rule's unit, at least 0
 */
export function clockEnd(rule: Counting, length: number, place: ClockPlace, wait?: Wait): ClockEnd {
  const { startedAt, zone, isHoliday } = place;
  if (rule.unit === 'hours') return hoursEnd(length, place, wait);
  const week = rule.week ?? 'monday to friday';
  const start = localDate(startedAt, zone);
  const counted = lastCountedDay(rule, length, { start, week, isHoliday });
  const extended = wait === undefined ? counted : afterWaiting(rule, counted, wait, { zone, week, isHoliday });
  const rolling = rule.rolls === true && rule.unit !== 'business days';
  const lastDay = rolling ? nextBusinessDay(extended, week, isHoliday) : extended;
  return { lastDay, endsAt: endOfDay(lastDay, zone) };
}

function hoursEnd(length: number, { startedAt, zone }: ClockPlace, wait: Wait | undefined): ClockEnd {
  const planned = Temporal.Instant.from(startedAt).add({ hours: length });
  const waited = wait !== undefined && compareInstants(wait.from, planned) < 0;
  const endsAt = waited
    ? planned.add(Temporal.Instant.from(wait.from).until(Temporal.Instant.from(wait.until)))
    : planned;
  const last = length > 0 ? endsAt.subtract({ nanoseconds: 1 }) : endsAt;
  return { lastDay: last.toZonedDateTimeISO(zone).toPlainDate(), endsAt };
}

interface Calendar {
  readonly week: BusinessWeek;
  readonly isHoliday: IsHoliday;
}

function lastCountedDay(
  rule: Pick<ClockRule, 'unit' | 'inclusive'>,
  length: number,
  from: Calendar & { readonly start: Temporal.PlainDate },
): Temporal.PlainDate {
  const dayBefore = from.start.subtract({ days: 1 });
  switch (rule.unit) {
    case 'business days':
      return addBusinessDays(rule.inclusive === true ? dayBefore : from.start, length, from.week, from.isHoliday);
    case 'months': {
      const end = addMonths(from.start, length);
      return rule.inclusive === true ? end.subtract({ days: 1 }) : end;
    }
    default:
      return (rule.inclusive === true ? dayBefore : from.start).add({ days: length });
  }
}

/** The last day after a wait: moved by the days of the wait, and never earlier than `afterWait` days after it. */
function afterWaiting(
  rule: Pick<ClockRule, 'unit'>,
  last: Temporal.PlainDate,
  wait: Wait,
  at: Calendar & { readonly zone: string },
): Temporal.PlainDate {
  const from = localDate(wait.from, at.zone);
  const until = localDate(wait.until, at.zone);
  if (Temporal.PlainDate.compare(from, last) > 0) return last;
  const dayBefore = wait.inclusive ? from.subtract({ days: 1 }) : from;
  const moved =
    rule.unit === 'business days'
      ? addBusinessDays(last, businessDaysIn(dayBefore, until, at), at.week, at.isHoliday)
      : last.add({ days: Math.max(0, daysBetween(dayBefore, until)) });
  const least = until.add({ days: wait.afterWait });
  return Temporal.PlainDate.compare(least, moved) > 0 ? least : moved;
}

/** Business days after `from` up to and including `until`. */
function businessDaysIn(from: Temporal.PlainDate, until: Temporal.PlainDate, { week, isHoliday }: Calendar): number {
  let count = 0;
  for (let day = dayAfter(from); Temporal.PlainDate.compare(day, until) <= 0; day = dayAfter(day)) {
    if (isBusinessDay(day, week, isHoliday)) count += 1;
  }
  return count;
}

function nextBusinessDay(on: Temporal.PlainDate, week: BusinessWeek, isHoliday: IsHoliday): Temporal.PlainDate {
  let day = on;
  while (!isBusinessDay(day, week, isHoliday)) day = dayAfter(day);
  return day;
}
