import { describe, expect, it } from 'vitest';
import { holidaysOf } from './holidays.js';

const on = (text: string): Temporal.PlainDate => Temporal.PlainDate.from(text);

describe('public holidays', () => {
  // 5 U.S.C. 6103(a) names the federal holidays; the dates of 2025 follow from its weekday rules.
  it.each([
    '2025-01-01',
    '2025-01-20',
    '2025-02-17',
    '2025-05-26',
    '2025-06-19',
    '2025-07-04',
    '2025-09-01',
    '2025-10-13',
    '2025-11-11',
    '2025-11-27',
    '2025-12-25',
  ])('know %s as a federal holiday of the United States', (date) => {
    expect(holidaysOf('US')(on(date))).toBe(true);
  });

  it('count the federal holidays in every state, and none that only a state keeps', () => {
    // Cesar Chavez Day is kept by California alone; Columbus Day is federal and not kept by California.
    expect(holidaysOf('US-CA')(on('2025-03-31'))).toBe(false);
    expect(holidaysOf('US-CA')(on('2025-10-13'))).toBe(true);
  });

  it('know the observed day of a federal holiday on a Saturday', () => {
    // 5 U.S.C. 6103(b): on a Saturday, the Friday before. 4 July 2026 is a Saturday.
    expect(holidaysOf('US')(on('2026-07-03'))).toBe(true);
  });

  // Easter Sunday of 2025 is 20 April, by the Gregorian computus.
  it('know Good Friday and Easter Monday in Germany', () => {
    expect(holidaysOf('DE')(on('2025-04-18'))).toBe(true);
    expect(holidaysOf('DE')(on('2025-04-21'))).toBe(true);
    expect(holidaysOf('DE')(on('2025-04-22'))).toBe(false);
  });

  it('add the days of a part of the country', () => {
    expect(holidaysOf('DE')(on('2025-01-06'))).toBe(false);
    expect(holidaysOf('DE-BY')(on('2025-01-06'))).toBe(true);
  });

  it('count each day of a feast of several days', () => {
    // Eid al-Adha 2025 in Türkiye: 6 to 9 June, from noon on the 5th; the half day is a business day.
    const turkey = holidaysOf('TR');
    expect(['2025-06-06', '2025-06-07', '2025-06-08', '2025-06-09'].map((date) => turkey(on(date)))).toEqual([
      true,
      true,
      true,
      true,
    ]);
    expect(turkey(on('2025-06-10'))).toBe(false);
  });

  it('answer "no data" for a country, a part or a year that the tables do not know', () => {
    expect(holidaysOf('ZZ')(on('2025-01-01'))).toBe('no data');
    expect(holidaysOf('GB-QQ')(on('2025-01-01'))).toBe('no data');
    expect(holidaysOf('US')(on('1999-12-31'))).toBe('no data');
    expect(holidaysOf('US')(on('2100-01-01'))).toBe('no data');
  });

  it('give way to an own list, which replaces the whole year', () => {
    const own = holidaysOf('ZZ', { '2025': ['2025-03-05'] });
    expect(own(on('2025-03-05'))).toBe(true);
    expect(own(on('2025-01-01'))).toBe(false);
    expect(own(on('2026-01-01'))).toBe('no data');
    expect(holidaysOf('US', { '2025': [] })(on('2025-07-04'))).toBe(false);
  });
});
