import { describe, expect, it } from 'vitest';
import { holidaysOf } from '../../platform/calendar/holidays.js';
import { ownHolidays, type OwnHoliday } from './own-holidays.js';

const on = (text: string): Temporal.PlainDate => Temporal.PlainDate.from(text);
const day = (date: string, holiday: boolean, region = ''): OwnHoliday => ({ region, on: date, kind: 'day', holiday });

describe('own holidays', () => {
  it('make a business day of a holiday and a holiday of a business day, and leave every other day alone', () => {
    const own = ownHolidays(holidaysOf('US'), [day('2025-07-04', false), day('2025-07-03', true)]);
    expect([own(on('2025-07-04')), own(on('2025-07-03')), own(on('2025-12-25')), own(on('2025-07-02'))]).toEqual([
      false,
      true,
      true,
      false,
    ]);
  });

  it('of a part of the country win over those of the country, in whatever order they come', () => {
    const entries = [day('2025-03-31', true, 'CA'), day('2025-03-31', false)];
    expect(ownHolidays(holidaysOf('US-CA'), entries)(on('2025-03-31'))).toBe(true);
    expect(ownHolidays(holidaysOf('US-CA'), entries.toReversed())(on('2025-03-31'))).toBe(true);
  });

  it('of a declared year are all that it has; other years of a place without tables stay unknown', () => {
    const year: OwnHoliday = { region: '', on: '2025-01-01', kind: 'whole year', holiday: true };
    const own = ownHolidays(holidaysOf('ZZ'), [year, day('2025-03-05', true)]);
    expect([own(on('2025-03-05')), own(on('2025-01-01')), own(on('2026-01-01'))]).toEqual([true, false, 'no data']);
    expect(ownHolidays(holidaysOf('US'), [year])(on('2025-07-04'))).toBe(false);
  });

  it('that are none leave the tables as they are', () => {
    const tables = holidaysOf('DE');
    expect(ownHolidays(tables, [])).toBe(tables);
  });
});
