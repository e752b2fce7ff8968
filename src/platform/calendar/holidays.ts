import { createRequire } from 'node:module';

/** Whether a local date is a public holiday at a place, or that there is no table for the place and year. */
export type PublicHolidays = (on: Temporal.PlainDate) => boolean | 'no data';

/** Own lists of public holidays by year ("2026"), as ISO dates. A year that is listed replaces the table's whole year. */
export type HolidayOverrides = Readonly<Record<string, readonly string[]>>;

/** Years for which tables are asked. Decrees and moon calendars make earlier and later years guesses. */
const FIRST_YEAR = 2000;
const LAST_YEAR = 2099;

/**
 * Public holidays of a jurisdiction, from the tables of npm date-holidays (loaded at the first question, then kept by place and
 * year). A country or part that the tables do not know, or a year without entries, answers `no data`, never `false`.
 *
 * In the United States the federal holidays count everywhere: the business-day rules of 16 CFR 429.0 and of the freight
 * classification rest on them, whatever a state adds. Elsewhere the part's own days count with the country's.
 * @param jurisdiction ISO 3166-1 country, optionally with its ISO 3166-2 part: "US-CA", "DE-BY", "GB"
 * @param overrides own lists, which win over the tables
 */
export function holidaysOf(jurisdiction: string, overrides: HolidayOverrides = {}): PublicHolidays {
  const own = new Map(Object.entries(overrides).map(([year, dates]) => [Number(year), new Set(dates)]));
  const place = placeOf(jurisdiction);
  let last: { readonly year: number; readonly days: Days } | undefined;
  return (on) => {
    if (last?.year !== on.year) last = { year: on.year, days: own.get(on.year) ?? yearOf(place, on.year) };
    const { days } = last;
    return days === 'no data' ? days : days.has(on.toString());
  };
}

interface Place {
  readonly country: string;
  readonly part: string | undefined;
}

function placeOf(jurisdiction: string): Place {
  const [country = '', part] = jurisdiction.split('-');
  return { country, part: country === 'US' ? undefined : part };
}

type Days = ReadonlySet<string> | 'no data';

/** Process-wide: tables are the same for every claim and never change while the process runs. */
const years = new Map<string, Days>();

function yearOf(place: Place, year: number): Days {
  const key = `${place.country}-${place.part ?? ''}-${year}`;
  const kept = years.get(key);
  if (kept !== undefined) return kept;
  const days = readYear(place, year);
  years.set(key, days);
  return days;
}

function readYear({ country, part }: Place, year: number): Days {
  if (year < FIRST_YEAR || year > LAST_YEAR) return 'no data';
  const Holidays = tables();
  const options = { types: ['public' as const] };
  const parts: object | undefined = new Holidays().getStates(country);
  // The tables answer an unknown part with the country's days alone; that would be a guess.
  if (part !== undefined && parts !== undefined && !Object.hasOwn(parts, part)) return 'no data';
  const table = part === undefined ? new Holidays(country, options) : new Holidays(country, part, options);
  const days = new Set(table.getHolidays(year).flatMap(wholeDays));
  return days.size === 0 ? 'no data' : days;
}

const DAY_MS = 86_400_000;

/** The dates that a holiday covers whole: half days are business days, several days count each. */
function wholeDays(holiday: { readonly date: string; readonly start: Date; readonly end: Date }): string[] {
  const [date = '', time = '00:00:00'] = holiday.date.split(' ');
  const first = Temporal.PlainDate.from(date);
  const span = holiday.end.getTime() - holiday.start.getTime();
  // A day on which the clocks change has 23 or 25 hours.
  const count = time === '00:00:00' ? Math.floor((span + DAY_MS / 24) / DAY_MS) : Math.floor(span / DAY_MS);
  return Array.from({ length: count }, (_, index) => first.add({ days: index }).toString());
}

type Tables = typeof import('date-holidays').default;

let loaded: Tables | undefined;

/** Loads the tables synchronously and late: they take longer to load than everything else in the command line together. */
function tables(): Tables {
  loaded ??= createRequire(import.meta.url)('date-holidays') as Tables;
  return loaded;
}
