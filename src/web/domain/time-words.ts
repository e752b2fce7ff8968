const MONTHS = ['Jan', 'Feb', 'Mar', 'Apr', 'May', 'Jun', 'Jul', 'Aug', 'Sep', 'Oct', 'Nov', 'Dec'] as const;

/** "3 Mar 2026, 09:58" in a zone. @param at RFC 3339 instant @param zone IANA time zone; absent: UTC, which is then said */
export function showTime(at: string, zone?: string): string {
  const local = Temporal.Instant.from(at).toZonedDateTimeISO(zone ?? 'UTC');
  return `${day(local)}, ${clock(local)}${zone === undefined ? ' UTC' : ''}`;
}

/** "3 Mar 2026" in a zone. */
export function showDay(at: string, zone = 'UTC'): string {
  return day(Temporal.Instant.from(at).toZonedDateTimeISO(zone));
}

/** "3 Mar 2026" for a calendar date. */
export function showDate(date: string): string {
  return day(Temporal.PlainDate.from(date));
}

/** "3 Mar 2026, 09:00 to 12:00", or both days where the window ends on another one. */
export function showWindow(from: string, to: string, zone: string): string {
  const start = Temporal.Instant.from(from).toZonedDateTimeISO(zone);
  const end = Temporal.Instant.from(to).toZonedDateTimeISO(zone);
  const until = start.toPlainDate().equals(end.toPlainDate()) ? clock(end) : `${day(end)}, ${clock(end)}`;
  return `${day(start)}, ${clock(start)} to ${until}`;
}

/** Value of a `datetime-local` field: the local time of an instant, to the minute. */
export function localField(at: string, zone: string): string {
  return Temporal.Instant.from(at).toZonedDateTimeISO(zone).toPlainDateTime().toString({ smallestUnit: 'minute' });
}

/**
 * Reads a `datetime-local` field as an instant of a zone.
 * @returns RFC 3339 in UTC; undefined where it is no date and time, or the zone is unknown
 */
export function readLocal(text: string, zone: string): string | undefined {
  try {
    return Temporal.PlainDateTime.from(text).toZonedDateTime(zone).toInstant().toString();
  } catch {
    return undefined;
  }
}

/** How a deadline stands. */
export interface Due {
  /** "in 3 days", "late by 2 hours" */
  readonly says: string;
  readonly late: boolean;
  /** Less than two days are left. */
  readonly soon: boolean;
}

/** How far off a deadline is, in the largest unit that still tells. */
export function dueIn(at: string, now: string): Due {
  const minutes = Temporal.Instant.from(at).since(Temporal.Instant.from(now)).total('minutes');
  const late = minutes < 0;
  const length = span(Math.abs(minutes));
  return { says: late ? `late by ${length}` : `in ${length}`, late, soon: !late && minutes < 2 * 24 * 60 };
}

function span(minutes: number): string {
  if (minutes < 60) return count(Math.max(1, Math.floor(minutes)), 'minute');
  if (minutes < 48 * 60) return count(Math.floor(minutes / 60), 'hour');
  return count(Math.floor(minutes / (24 * 60)), 'day');
}

/** "1 day", "3 days". */
export function count(n: number, noun: string, many = `${noun}s`): string {
  return `${n} ${n === 1 ? noun : many}`;
}

function day(date: { readonly day: number; readonly month: number; readonly year: number }): string {
  return `${date.day} ${MONTHS[date.month - 1]} ${date.year}`;
}

function clock(time: { readonly hour: number; readonly minute: number }): string {
  return `${String(time.hour).padStart(2, '0')}:${String(time.minute).padStart(2, '0')}`;
}
