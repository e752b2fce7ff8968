/** Days on which something holds: from the first, up to and without the last. Null has no end. Dates are YYYY-MM-DD, so they compare as text. */
export interface Days {
  readonly from: string;
  readonly to: string | null;
}

/** A version's place on the calendar. */
export interface Period extends Days {
  /** uuid of the row that says so */
  readonly id: string;
  readonly versionId: string;
  readonly version: number;
}

/** What has to be written so that a version takes its place: rows that no longer hold, and what is left of them. */
export interface Placement {
  readonly days: Days;
  readonly superseded: readonly Period[];
  readonly left: readonly Omit<Period, 'id'>[];
}

/**
 * Puts a version on the calendar. Without a last day it holds until the next version begins; one that begins on the same day is replaced.
 * @param live what is on the calendar now; no two of them overlap
 */
export function place(live: readonly Period[], wanted: Days): Placement {
  const next = live
    .map(({ from }) => from)
    .filter((from) => from > wanted.from)
    .sort()[0];
  const days = { from: wanted.from, to: wanted.to ?? next ?? null };
  const superseded = live.filter((period) => overlap(period, days));
  return { days, superseded, left: superseded.flatMap((period) => without(period, days)) };
}

/**
 * Takes a version off the calendar and puts back what held on its days before.
 * @param live what is on the calendar now
 * @param before what was on it when the version was put there, without it
 */
export function takeOff(live: readonly Period[], version: number, before: readonly Period[]): Omit<Placement, 'days'> {
  const superseded = live.filter((period) => period.version === version);
  const left = superseded.flatMap((hole) =>
    before.flatMap((period) => {
      const days = meet(period, hole);
      return days === undefined ? [] : [{ versionId: period.versionId, version: period.version, ...days }];
    }),
  );
  return { superseded, left };
}

/** Whether two stretches of days have one in common. */
export function overlap(a: Days, b: Days): boolean {
  return meet(a, b) !== undefined;
}

/** Whether a day is among them. */
export function holdsOn({ from, to }: Days, on: string): boolean {
  return from <= on && (to === null || on < to);
}

function meet(a: Days, b: Days): Days | undefined {
  const from = a.from > b.from ? a.from : b.from;
  const to = a.to === null ? b.to : b.to === null || a.to < b.to ? a.to : b.to;
  return to !== null && to <= from ? undefined : { from, to };
}

function without({ versionId, version, from, to }: Period, days: Days): Omit<Period, 'id'>[] {
  const parts: Days[] = [];
  if (from < days.from) parts.push({ from, to: days.from });
  if (days.to !== null && (to === null || days.to < to)) parts.push({ from: days.to, to });
  return parts.map((part) => ({ versionId, version, ...part }));
}
