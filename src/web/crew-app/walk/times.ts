import type { Lang } from '../../domain/walk-view.js';

/** The window of a visit as people say it, by the clock of the place. */
export function window(
  { windowFrom, windowTo, zone }: { readonly windowFrom: string; readonly windowTo: string; readonly zone: string },
  lang: Lang,
): string {
  const day = new Intl.DateTimeFormat(lang, { weekday: 'short', day: 'numeric', month: 'short', timeZone: zone });
  const hour = new Intl.DateTimeFormat(lang, { hour: 'numeric', minute: '2-digit', timeZone: zone });
  const [from, to] = [new Date(windowFrom), new Date(windowTo)];
  return `${day.format(from)}, ${hour.format(from)}–${hour.format(to)}`;
}

/** An instant as the value of a day-and-hour field, by the clock of this phone. */
export function fieldOf(at: number): string {
  const moved = new Date(at - new Date(at).getTimezoneOffset() * 60_000);
  return moved.toISOString().slice(0, 16);
}

/** An instant by the clock of this phone with its offset, to the minute. */
export function phoneTime(at: number): string {
  const behind = new Date(at).getTimezoneOffset();
  return `${fieldOf(at)}:00${behind > 0 ? '-' : '+'}${new Date(Math.abs(behind) * 60_000).toISOString().slice(11, 16)}`;
}

/** What a day-and-hour field says, as an instant; undefined where it is no time, or lies in the future. */
export function instantOf(field: string, now: number): string | undefined {
  const at = Date.parse(field);
  return Number.isFinite(at) && at <= now + 60_000 ? new Date(Math.min(at, now)).toISOString() : undefined;
}
