import {
  addBusinessDays,
  addMonths,
  endOfDay,
  isBusinessDay,
  localDate,
  type BusinessWeek,
  type IsHoliday,
} from '../../kernel/days.js';
import type { Receipt } from '../../kernel/vocabulary.js';
import type { ClockRule, ClockStart } from '../../policies/policies.contract.js';
import type { Clock, Need } from '../adjudication.contract.js';

/** Whether a local date is a public holiday at the place, or that nobody knows for that country and year. */
export type HolidayLookup = (on: Temporal.PlainDate) => boolean | 'no data';

/** What the clocks of one claim are judged by. */
export interface ClockContext {
  /** RFC 3339 instants of what has happened. Anything later than `asOf` has not happened yet. */
  readonly events: Partial<Readonly<Record<ClockStart, string>>>;
  readonly asOf: string;
  /** IANA time zone of the place: days begin and end there, 23 and 25 hour days included. */
  readonly zone: string;
  readonly ground: string;
  readonly receipt: Receipt;
  /** Whether a safety stop, a hold or a report is in play. */
  readonly safety: boolean;
  readonly isHoliday: HolidayLookup;
  /** A length named in words, as the policy has it on the start date; undefined where it has none. */
  readonly length: (name: string, on: string) => string | undefined;
}

/** Clocks with their state, and what must be known before the rest can be judged. */
export interface ClocksOutcome {
  readonly clocks: readonly Clock[];
  readonly needs: readonly Need[];
}

/** Every clock of a policy that applies to the claim, in the policy's order. */
export function claimClocks(rules: readonly ClockRule[], context: ClockContext): ClocksOutcome {
  const judged = rules.filter((rule) => applies(rule, context)).map((rule) => claimClock(rule, context));
  return { clocks: judged.map(({ clock }) => clock), needs: judged.flatMap(({ needs }) => needs) };
}

function applies(rule: ClockRule, context: ClockContext): boolean {
  if (rule.grounds !== undefined && !rule.grounds.includes(context.ground)) return false;
  if (rule.receipts !== undefined && !rule.receipts.includes(context.receipt)) return false;
  return rule.safetyOnly !== true || context.safety;
}

/** One clock. Where its length or a holiday table is missing it runs without an end and says what it needs. */
export function claimClock(
  rule: ClockRule,
  context: ClockContext,
): { readonly clock: Clock; readonly needs: readonly Need[] } {
  const { id, title, ground, source, owedBy, lapse } = rule;
  const base = { id, title, ground, source, owedBy, lapse };
  const startedAt = happened(context, rule.starts);
  if (startedAt === undefined) {
    return { clock: { ...base, state: 'not started', startedAt: null, lastDay: null, endsAt: null }, needs: [] };
  }
  const unknown = { ...base, state: 'running', startedAt, lastDay: null, endsAt: null } as const;
  const length = clockLength(rule, localDate(startedAt, context.zone).toString(), context);
  if (length === undefined) return { clock: unknown, needs: [lengthNeed(rule)] };
  const known = { missing: undefined as Temporal.PlainDate | undefined };
  const end = clockEnd(rule, length, { startedAt, zone: context.zone, isHoliday: certain(context.isHoliday, known) });
  if (known.missing !== undefined) return { clock: unknown, needs: [holidayNeed(rule, known.missing)] };
  const clock: Clock = {
    ...base,
    state: clockState(end.endsAt, happened(context, rule.stops), context.asOf),
    startedAt,
    lastDay: end.lastDay.toString(),
    endsAt: end.endsAt.toString(),
  };
  return { clock, needs: [] };
}

/** Where a clock stands: met before its end, missed from its end on, otherwise running. */
export function clockState(endsAt: Temporal.Instant, stoppedAt: string | undefined, asOf: string): Clock['state'] {
  if (stoppedAt !== undefined) {
    return Temporal.Instant.compare(Temporal.Instant.from(stoppedAt), endsAt) < 0 ? 'met' : 'missed';
  }
  return Temporal.Instant.compare(Temporal.Instant.from(asOf), endsAt) < 0 ? 'running' : 'missed';
}

/** Last local date of a clock and the instant from which it is missed. */
export interface ClockEnd {
  readonly lastDay: Temporal.PlainDate;
  readonly endsAt: Temporal.Instant;
}

/**
 * When a clock ends. Hours are exact; everything else is counted in local dates and ends with the last day at the place.
 * An inclusive count takes the start day as day 1; a rolling one goes on to the next business day (Regulation (EEC, Euratom)
 * 1182/71 art. 3(4) is such a rule).
 * @param length whole number of the rule's unit, at least 0
 */
export function clockEnd(
  rule: Pick<ClockRule, 'unit' | 'week' | 'inclusive' | 'rolls'>,
  length: number,
  place: { readonly startedAt: string; readonly zone: string; readonly isHoliday: IsHoliday },
): ClockEnd {
  const { startedAt, zone, isHoliday } = place;
  if (rule.unit === 'hours') {
    const endsAt = Temporal.Instant.from(startedAt).add({ hours: length });
    const last = length > 0 ? endsAt.subtract({ nanoseconds: 1 }) : endsAt;
    return { lastDay: localDate(last.toString(), zone), endsAt };
  }
  const week = rule.week ?? 'monday to friday';
  const counted = lastCountedDay(rule, length, { start: localDate(startedAt, zone), week, isHoliday });
  const rolling = rule.rolls === true && rule.unit !== 'business days';
  const lastDay = rolling ? nextBusinessDay(counted, week, isHoliday) : counted;
  return { lastDay, endsAt: endOfDay(lastDay, zone) };
}

function lastCountedDay(
  rule: Pick<ClockRule, 'unit' | 'inclusive'>,
  length: number,
  from: { readonly start: Temporal.PlainDate; readonly week: BusinessWeek; readonly isHoliday: IsHoliday },
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

function nextBusinessDay(on: Temporal.PlainDate, week: BusinessWeek, isHoliday: IsHoliday): Temporal.PlainDate {
  let day = on;
  while (!isBusinessDay(day, week, isHoliday)) day = day.add({ days: 1 });
  return day;
}

/** Lengths are whole and bounded: ten years of days is longer than any limit in the trade and keeps the count short. */
const LONGEST = { hours: 87_600, 'calendar days': 3_660, 'business days': 2_600, months: 1_200 } as const;

function clockLength(rule: ClockRule, on: string, context: ClockContext): number | undefined {
  const value = typeof rule.length === 'number' ? rule.length : Number(context.length(rule.length, on) ?? Number.NaN);
  return Number.isInteger(value) && value >= 0 && value <= LONGEST[rule.unit] ? value : undefined;
}

function happened(context: ClockContext, what: ClockStart): string | undefined {
  const at = context.events[what];
  if (at === undefined) return undefined;
  const later = Temporal.Instant.compare(Temporal.Instant.from(at), Temporal.Instant.from(context.asOf)) > 0;
  return later ? undefined : at;
}

function certain(lookup: HolidayLookup, known: { missing: Temporal.PlainDate | undefined }): IsHoliday {
  return (on) => {
    const answer = lookup(on);
    if (answer !== 'no data') return answer;
    known.missing ??= on;
    return false;
  };
}

function lengthNeed(rule: ClockRule): Need {
  return {
    what: `length of clock ${rule.id}`,
    ask: `How long does "${rule.title}" run? The policy gives no usable length for it on its start date.`,
    why: `The clock "${rule.title}" (${rule.ground}) cannot be worked out without it.`,
  };
}

function holidayNeed(rule: ClockRule, on: Temporal.PlainDate): Need {
  return {
    what: 'public holidays',
    ask: `Which days of ${on.year} are public holidays at the place of delivery? There is no table for it.`,
    why: `The clock "${rule.title}" (${rule.ground}) counts business days.`,
  };
}
