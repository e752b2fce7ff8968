import { compareInstants, localDate, type IsHoliday } from '../../kernel/days.js';
import type { Receipt } from '../../kernel/vocabulary.js';
import type { ClockRule, ClockStart } from '../../policies/policies.contract.js';
import type { Clock, Need } from '../adjudication.contract.js';
import { clockEnd, type ClockEnd, type Wait } from './clock-count.js';
import { warningsOf } from './clock-warnings.js';
import { effectOf } from './clock-words.js';

export { clockEnd, type ClockEnd } from './clock-count.js';

/** Whether a local date is a public holiday at the place, or that nobody knows for that country and year. */
export type HolidayLookup = (on: Temporal.PlainDate) => boolean | 'no data';

/** What the clocks of one claim are judged by. */
export interface ClockContext {
  /** RFC 3339 instants of what has happened. Anything later than `asOf` has not happened yet. */
  readonly events: Partial<Readonly<Record<ClockStart, string>>>;
  /** Instants of the letters by which a carrier said why a claim is still open; they meet a repeating clock's turns. */
  readonly statusLetters?: readonly string[];
  readonly asOf: string;
  /** IANA time zone of the place: days begin and end there, 23 and 25 hour days included. */
  readonly zone: string;
  readonly ground: string;
  readonly receipt: Receipt;
  /** Kind of carriage, where it is known. */
  readonly transport?: string;
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

/** Every clock of a policy that applies to the claim, in the policy's order; a repeating one once for each turn up to the open one. */
export function claimClocks(rules: readonly ClockRule[], context: ClockContext): ClocksOutcome {
  const judged = rules.filter((rule) => applies(rule, context)).flatMap((rule) => turnsOf(rule, context));
  return { clocks: judged.map(({ clock }) => clock), needs: judged.flatMap(({ needs }) => needs) };
}

function applies(rule: ClockRule, context: ClockContext): boolean {
  if (rule.grounds !== undefined && !rule.grounds.includes(context.ground)) return false;
  if (rule.receipts !== undefined && !rule.receipts.includes(context.receipt)) return false;
  if (rule.transports !== undefined && !rule.transports.includes(context.transport ?? '')) return false;
  if (rule.onceStarted === true && startOf(rule, context) === undefined) return false;
  return rule.safetyOnly !== true || context.safety;
}

interface Judged {
  readonly clock: Clock;
  readonly needs: readonly Need[];
}

/** Turns of a repeating clock that are looked at: with 60 days each, ten years. */
const MOST_TURNS = 60;

function turnsOf(rule: ClockRule, context: ClockContext): Judged[] {
  if (rule.repeatsEvery === undefined) return [claimClock(rule, context)];
  const turns: Judged[] = [];
  for (let turn = 1, from: string | null = null; turn <= MOST_TURNS; turn += 1) {
    const judged = judge(rule, context, { turn, from });
    turns.push(judged);
    const { state, endsAt } = judged.clock;
    const over = endsAt !== null && compareInstants(endsAt, context.asOf) <= 0;
    const stopped = happened(context, rule.stops);
    const done = stopped !== undefined && endsAt !== null && compareInstants(stopped, endsAt) < 0;
    if (done || state === 'running' || state === 'not started' || !over) break;
    from = endsAt;
  }
  return turns;
}

/** One clock, or the first turn of one that repeats. Where its length or a holiday table is missing it runs without an end and says what it needs. */
export function claimClock(rule: ClockRule, context: ClockContext): Judged {
  return judge(rule, context, { turn: 1, from: null });
}

/** Which turn of a repeating clock, and where the turn before it ended. */
interface Turn {
  readonly turn: number;
  readonly from: string | null;
}

function judge(rule: ClockRule, context: ClockContext, turn: Turn): Judged {
  const { id, title, ground, source, owedBy, lapse } = rule;
  const base = { id, title, ground, source, owedBy, lapse };
  const startedAt = startOf(rule, context);
  const nothing = { lastDay: null, endsAt: null, effect: effectOf(lapse, 'running'), warnsAt: [] } as const;
  if (startedAt === undefined)
    return { clock: { ...base, ...nothing, state: 'not started', startedAt: null }, needs: [] };
  const unknown = { ...base, ...nothing, state: 'running', startedAt, ...turnNumber(rule, turn) } as const;
  const length = fullLength(rule, context, { startedAt, turn: turn.turn });
  if (length === undefined) return { clock: unknown, needs: [lengthNeed(rule)] };
  const known = { missing: undefined as Temporal.PlainDate | undefined };
  const place = { startedAt, zone: context.zone, isHoliday: certain(context.isHoliday, known) };
  const plain = clockEnd(rule, length, place);
  const wait = waitOf(rule, context, startedAt);
  if (wait !== undefined && wait.until === undefined && beginsInTime(wait.from, plain)) {
    const effect = effectOf(lapse, 'running', { paused: true });
    return { clock: { ...unknown, effect, pausedAt: wait.from }, needs: [] };
  }
  const end = wait?.until === undefined ? plain : clockEnd(rule, length, place, { ...wait, until: wait.until });
  if (known.missing !== undefined) return { clock: unknown, needs: [holidayNeed(rule, known.missing)] };
  const letter = rule.repeatsEvery !== undefined && letterIn(context, turn.from ?? startedAt, end);
  const stopped = happened(context, rule.stops);
  const byStop = clockState(end.endsAt, stopped, context.asOf);
  const state = letter ? 'met' : byStop;
  const clock: Clock = {
    ...base,
    state,
    startedAt,
    lastDay: end.lastDay.toString(),
    endsAt: end.endsAt.toString(),
    effect: effectOf(lapse, state, { byLetter: letter && byStop !== 'met' }),
    warnsAt: warningsOf(rule, startedAt, context.zone, end).filter((at) => turn.from === null || at > turn.from),
    ...turnNumber(rule, turn),
    ...(stopped === undefined ? {} : { stoppedAt: stopped }),
  };
  return { clock, needs: [] };
}

function turnNumber(rule: ClockRule, { turn }: Turn): { readonly occurrence?: number } {
  return rule.repeatsEvery === undefined ? {} : { occurrence: turn };
}

/** Where a clock stands: met before its end, missed from its end on, otherwise running. */
export function clockState(endsAt: Temporal.Instant, stoppedAt: string | undefined, asOf: string): Clock['state'] {
  if (stoppedAt !== undefined) {
    return compareInstants(stoppedAt, endsAt) < 0 ? 'met' : 'missed';
  }
  return compareInstants(asOf, endsAt) < 0 ? 'running' : 'missed';
}

/** The start, or the last of several starts; undefined while the first named one has not happened. */
function startOf(rule: ClockRule, context: ClockContext): string | undefined {
  const first = happened(context, rule.starts);
  if (first === undefined) return undefined;
  const all = [first, ...(rule.laterOf ?? []).flatMap((event) => happened(context, event) ?? [])];
  return all.reduce((last, at) => (compareInstants(at, last) > 0 ? at : last));
}

function waitOf(
  rule: ClockRule,
  context: ClockContext,
  startedAt: string,
): (Omit<Wait, 'until'> & { readonly until: string | undefined }) | undefined {
  if (rule.pausedBy === undefined || rule.resumedBy === undefined) return undefined;
  const from = happened(context, rule.pausedBy);
  if (from === undefined || compareInstants(from, startedAt) < 0) return undefined;
  const back = happened(context, rule.resumedBy);
  const until = back !== undefined && compareInstants(back, from) >= 0 ? back : undefined;
  return { from, until, inclusive: rule.waitInclusive === true, afterWait: rule.afterWait ?? 0 };
}

function beginsInTime(from: string, end: ClockEnd): boolean {
  return compareInstants(from, end.endsAt) < 0;
}

/** Whether a status letter came after the turn before ended and before this one does. */
function letterIn(context: ClockContext, from: string, end: ClockEnd): boolean {
  return (context.statusLetters ?? []).some(
    (at) =>
      compareInstants(at, from) >= 0 && compareInstants(at, end.endsAt) < 0 && compareInstants(at, context.asOf) <= 0,
  );
}

/** Lengths are whole and bounded: ten years of days is longer than any limit in the trade and keeps the count short. */
const LONGEST = { hours: 87_600, 'calendar days': 3_660, 'business days': 2_600, months: 1_200 } as const;

/** Length with its floor, its extension and the turns before; undefined where the policy leaves one of them open. */
function fullLength(
  rule: ClockRule,
  context: ClockContext,
  from: { readonly startedAt: string; readonly turn: number },
): number | undefined {
  const on = localDate(from.startedAt, context.zone).toString();
  const value = (of: number | string): number =>
    typeof of === 'number' ? of : Number(context.length(of, on) ?? Number.NaN);
  const extended = rule.extendedBy !== undefined && happened(context, rule.extendedBy) !== undefined;
  const set = value(rule.length);
  const least = rule.floor === undefined ? set : value(rule.floor);
  const parts = [
    set,
    Math.max(0, least - set),
    extended ? value(rule.extension ?? 0) : 0,
    from.turn === 1 ? 0 : (from.turn - 1) * value(rule.repeatsEvery ?? 0),
  ];
  if (!parts.every((part) => Number.isInteger(part) && part >= 0)) return undefined;
  const whole = parts.reduce((sum, part) => sum + part, 0);
  return whole <= LONGEST[rule.unit] ? whole : undefined;
}

function happened(context: ClockContext, what: ClockStart): string | undefined {
  const at = context.events[what];
  if (at === undefined) return undefined;
  return compareInstants(at, context.asOf) > 0 ? undefined : at;
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
