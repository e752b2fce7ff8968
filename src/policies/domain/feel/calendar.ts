/**
 * The proleptic Gregorian calendar in whole days since 1970-01-01, for years of up to nine digits: farther than the built-in
 * calendar types reach. The two conversions count from 1 March, so that the leap day is the last of its year.
 */
export interface Civil {
  readonly year: number;
  /** 1 to 12 */
  readonly month: number;
  /** 1 to 31 */
  readonly day: number;
}

/** Largest year of the rule language, in both directions. */
export const MOST_YEARS = 999_999_999;

const DAYS_PER_ERA = 146_097; // 400 years
const EPOCH_IN_ERA = 719_468; // 1970-01-01 counted from 0000-03-01

/** Days since 1970-01-01; the parts must be a date that exists. */
export function epochDayOf({ year, month, day }: Civil): number {
  const y = month <= 2 ? year - 1 : year;
  const era = Math.floor(y / 400);
  const yearOfEra = y - era * 400;
  const dayOfYear = Math.floor((153 * (month > 2 ? month - 3 : month + 9) + 2) / 5) + day - 1;
  const dayOfEra = yearOfEra * 365 + Math.floor(yearOfEra / 4) - Math.floor(yearOfEra / 100) + dayOfYear;
  return era * DAYS_PER_ERA + dayOfEra - EPOCH_IN_ERA;
}

/** Year, month and day of a number of days since 1970-01-01. */
export function civilOf(epochDay: number): Civil {
  const z = epochDay + EPOCH_IN_ERA;
  const era = Math.floor(z / DAYS_PER_ERA);
  const dayOfEra = z - era * DAYS_PER_ERA;
  const leaps = Math.floor(dayOfEra / 1460) - Math.floor(dayOfEra / 36_524) + Math.floor(dayOfEra / 146_096);
  const yearOfEra = Math.floor((dayOfEra - leaps) / 365);
  const dayOfYear = dayOfEra - (365 * yearOfEra + Math.floor(yearOfEra / 4) - Math.floor(yearOfEra / 100));
  const shifted = Math.floor((5 * dayOfYear + 2) / 153);
  const month = shifted < 10 ? shifted + 3 : shifted - 9;
  return {
    year: yearOfEra + era * 400 + (month <= 2 ? 1 : 0),
    month,
    day: dayOfYear - Math.floor((153 * shifted + 2) / 5) + 1,
  };
}

/** Number of days in a month. */
export function daysInMonth(year: number, month: number): number {
  if (month !== 2) return month === 4 || month === 6 || month === 9 || month === 11 ? 30 : 31;
  return (year % 4 === 0 && year % 100 !== 0) || year % 400 === 0 ? 29 : 28;
}

/** Whether the parts are whole numbers that name a day of the calendar. */
export function isCivil({ year, month, day }: Civil): boolean {
  return (
    [year, month, day].every(Number.isInteger) &&
    Math.abs(year) <= MOST_YEARS &&
    month >= 1 &&
    month <= 12 &&
    day >= 1 &&
    day <= daysInMonth(year, month)
  );
}

/** The same day some months later; the last day of the month where that month is too short (31 January and a month is 28 February). */
export function addMonths(epochDay: number, months: number): number | undefined {
  const { year, month, day } = civilOf(epochDay);
  const count = year * 12 + (month - 1) + months;
  const [y, m] = [Math.floor(count / 12), count - Math.floor(count / 12) * 12 + 1];
  if (!Number.isSafeInteger(count) || Math.abs(y) > MOST_YEARS) return undefined;
  return epochDayOf({ year: y, month: m, day: Math.min(day, daysInMonth(y, m)) });
}

/** Day of the week, 1 Monday to 7 Sunday (ISO 8601). */
export function weekdayOf(epochDay: number): number {
  return ((((epochDay + 3) % 7) + 7) % 7) + 1;
}

/** Number of the day in its year, from 1. */
export function dayOfYear(epochDay: number): number {
  return epochDay - epochDayOf({ year: civilOf(epochDay).year, month: 1, day: 1 }) + 1;
}

/** Week of the year by ISO 8601: week 1 is the one with the first Thursday. */
export function weekOfYear(epochDay: number): number {
  const thursday = epochDay - weekdayOf(epochDay) + 4;
  return Math.floor((dayOfYear(thursday) - 1) / 7) + 1;
}
