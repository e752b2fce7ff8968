import type { Ground } from '../../kernel/vocabulary.js';
import { boardFilter, boardView, type BoardFilter } from './board-views.js';
import type { ExportColumn } from './claims-export.js';

export const EXPORT_FORMATS = ['csv', 'json'] as const;
export type ExportFormat = (typeof EXPORT_FORMATS)[number];

/** Which claims go into a file, and what of them. */
export interface ExportWish {
  readonly format: ExportFormat;
  /** In the order of the file; at least one. */
  readonly columns: readonly ExportColumn[];
  readonly view: BoardFilter['id'];
  readonly find: string;
  readonly ground: Ground | '';
  /** First and last day (UTC) on which the claims were opened, "2026-03-01"; empty: no bound. */
  readonly from: string;
  readonly to: string;
  /** For files that are made by the week or the month: only what was opened in that week or month. */
  readonly newOnly?: boolean;
}

/** What a wish leaves of the claims. */
export function wishFilter({ view, find, ground, from, to }: ExportWish) {
  return {
    ...boardFilter({ view: boardView(view), find, ground }),
    ...(from === '' ? {} : { openedFrom: startOf(from) }),
    ...(to === '' ? {} : { openedBefore: startOf(Temporal.PlainDate.from(to).add({ days: 1 }).toString()) }),
    order: 'opened' as const,
  };
}

/** The wish as the query of an address. */
export function wishQuery({ format, columns, view, find, ground, from, to }: ExportWish): string {
  const query = new URLSearchParams({ format });
  for (const [name, value] of Object.entries({ view: view === 'all' ? '' : view, find, ground, from, to }))
    if (value !== '') query.set(name, value);
  for (const column of columns) query.append('columns', column);
  return query.toString();
}

export const EVERY = ['week', 'month'] as const;
export type Every = (typeof EVERY)[number];

/** Files are made at this hour (UTC), when the day before is over in most of the places that we deliver to. */
const HOUR = 9;

/** When the next file is due: the first Monday, or the first day of a month, at nine in UTC that lies after an instant. */
export function nextTick(every: Every, after: Temporal.Instant): Temporal.Instant {
  const at = after.toZonedDateTimeISO('UTC');
  const today = at.toPlainDate();
  const start = every === 'week' ? today.subtract({ days: today.dayOfWeek - 1 }) : today.with({ day: 1 });
  const tick = atHour(start);
  if (Temporal.Instant.compare(tick, after) > 0) return tick;
  return atHour(every === 'week' ? start.add({ weeks: 1 }) : start.add({ months: 1 }));
}

/** The wish of a file that is due at a tick: with `newOnly`, the week or month that ended before the tick's day. */
export function wishAt(wish: ExportWish, every: Every, tick: Temporal.Instant): ExportWish {
  if (wish.newOnly !== true) return wish;
  const end = tick.toZonedDateTimeISO('UTC').toPlainDate();
  const start = every === 'week' ? end.subtract({ weeks: 1 }) : end.subtract({ months: 1 });
  return { ...wish, from: start.toString(), to: end.subtract({ days: 1 }).toString() };
}

function atHour(day: Temporal.PlainDate): Temporal.Instant {
  return day.toZonedDateTime({ timeZone: 'UTC', plainTime: Temporal.PlainTime.from({ hour: HOUR }) }).toInstant();
}

function startOf(day: string): string {
  return `${day}T00:00:00Z`;
}
