import type { HolidayLookup } from './claim-clocks.js';

/** What the holiday tables said on every day of a stretch. Runs are first and last day, both included. */
export interface FrozenHolidays {
  readonly from: string;
  readonly to: string;
  readonly days: readonly string[];
  readonly unknown: readonly (readonly [string, string])[];
}

/** Longest stretch that is kept; clocks run for ten years at most. */
const MOST_DAYS = 3_700;

/** A lookup that notes which days were asked for. */
export class HolidaysAsked {
  private first: Temporal.PlainDate | undefined;
  private last: Temporal.PlainDate | undefined;

  constructor(private readonly isHoliday: HolidayLookup) {}

  readonly lookup: HolidayLookup = (on) => {
    if (this.first === undefined || Temporal.PlainDate.compare(on, this.first) < 0) this.first = on;
    if (this.last === undefined || Temporal.PlainDate.compare(on, this.last) > 0) this.last = on;
    return this.isHoliday(on);
  };

  /** The stretch from the first to the last day asked for; undefined where none was. */
  frozen(): FrozenHolidays | undefined {
    const { first, last } = this;
    if (first === undefined || last === undefined) return undefined;
    const days: string[] = [];
    const unknown: [string, string][] = [];
    let on = first;
    for (let left = MOST_DAYS; left > 0 && Temporal.PlainDate.compare(on, last) <= 0; left -= 1) {
      const answer = this.isHoliday(on);
      const text = on.toString();
      if (answer === true) days.push(text);
      if (answer === 'no data') extend(unknown, text, on.subtract({ days: 1 }).toString());
      on = on.add({ days: 1 });
    }
    return { from: first.toString(), to: on.subtract({ days: 1 }).toString(), days, unknown };
  }
}

function extend(runs: [string, string][], on: string, dayBefore: string): void {
  const run = runs.at(-1);
  if (run?.[1] === dayBefore) run[1] = on;
  else runs.push([on, on]);
}

/** The kept stretch as a lookup. @param beyond who is asked about other days; absent: nobody knows */
export function thawedHolidays(frozen: FrozenHolidays | undefined, beyond?: HolidayLookup): HolidayLookup {
  const days = new Set(frozen?.days);
  return (on) => {
    const text = on.toString();
    if (frozen === undefined || text < frozen.from || text > frozen.to) return beyond?.(on) ?? 'no data';
    if (frozen.unknown.some(([from, to]) => from <= text && text <= to)) return 'no data';
    return days.has(text);
  };
}
