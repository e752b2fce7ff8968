import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { feel } from '../../../../tests/support/feel.js';
import { addMonths, civilOf, dayOfYear, daysInMonth, epochDayOf, isCivil, weekdayOf, weekOfYear } from './calendar.js';

const days = fc.integer({ min: -90_000_000, max: 90_000_000 });
const plain = (epochDay: number): Temporal.PlainDate => new Temporal.PlainDate(1970, 1, 1).add({ days: epochDay });

// Reference: the calendar that comes with the language (ECMA-262 Temporal), as far as it reaches.
describe('the calendar', () => {
  it('agrees with the reference on every part of a day', () => {
    fc.assert(
      fc.property(days, (epochDay) => {
        const reference = plain(epochDay);
        const civil = civilOf(epochDay);
        expect(civil).toEqual({ year: reference.year, month: reference.month, day: reference.day });
        expect(epochDayOf(civil)).toBe(epochDay);
        expect(weekdayOf(epochDay)).toBe(reference.dayOfWeek);
        expect(dayOfYear(epochDay)).toBe(reference.dayOfYear);
        expect(weekOfYear(epochDay)).toBe(reference.weekOfYear);
        expect(daysInMonth(civil.year, civil.month)).toBe(reference.daysInMonth);
      }),
      { numRuns: 2000 },
    );
  });

  it('adds months as the reference does, to the end of a month that is too short', () => {
    fc.assert(
      fc.property(days, fc.integer({ min: -5000, max: 5000 }), (epochDay, months) => {
        const moved = plain(epochDay).add({ months });
        expect(civilOf(addMonths(epochDay, months) ?? NaN)).toEqual({
          year: moved.year,
          month: moved.month,
          day: moved.day,
        });
      }),
      { numRuns: 2000 },
    );
  });

  it.each([
    [2026, 2, 29, false],
    [2024, 2, 29, true],
    [1900, 2, 29, false],
    [2000, 2, 29, true],
    [2026, 13, 1, false],
    [2026, 4, 31, false],
    [2026.5, 1, 1, false],
    [999_999_999, 12, 31, true],
    [1_000_000_000, 1, 1, false],
  ])('%i-%i-%i is a day: %s', (year, month, day, expected) => {
    expect(isCivil({ year, month, day })).toBe(expected);
  });
});

// Worked out by hand; the rules are those of OMG DMN 1.5, 10.3.2.3, and of XML Schema 2 for the written forms.
describe('dates, times and durations', () => {
  it.each([
    ['@"2026-01-31" + @"P1M"', '2026-02-28'],
    ['@"2026-03-01" + @"PT36H"', '2026-03-02'],
    ['@"2026-03-01" - @"PT1H"', '2026-02-28'],
    ['@"2026-03-01T23:30:00" + @"PT45M"', '2026-03-02T00:15:00'],
    ['@"2026-03-29T01:30:00@Europe/Berlin" + @"PT1H"', '2026-03-29T03:30:00@Europe/Berlin'],
    ['@"23:30:00" + @"PT45M"', '00:15:00'],
    ['@"2026-03-01" - @"2026-02-01"', 'P28D'],
    ['@"2026-03-01T00:00:00Z" - @"2026-03-01T00:00:00+02:00"', 'PT2H'],
    ['@"2026-03-01T00:00:00" - @"2026-03-01T00:00:00Z"', 'null'],
    ['@"P1DT2H3M4.5S" * 2', 'P2DT4H6M9S'],
    ['-@"P1Y2M"', '-P1Y2M'],
    ['@"P1Y11M" * -2.5', '-P4Y9M'],
    ['@"P10Y" / @"P4Y"', '2.5'],
    ['@"PT0.1S" * 3 = @"PT0.3S"', 'true'],
    ['@"P1Y2M".months', '2'],
    ['@"-P1DT2H".hours', '-2'],
    ['years and months duration(@"2016-01-31", @"2016-03-30")', 'P1M'],
    ['years and months duration(@"2016-03-30", @"2016-01-31")', '-P1M'],
    ['date("-0044-03-15")', '-0044-03-15'],
    ['date("2026-02-30")', 'null'],
    ['time("24:00:01")', 'null'],
    ['@"2026-03-01T24:00:00"', '2026-03-02T00:00:00'],
    ['time("13:20:00+19:00")', 'null'],
    ['time("13:20:00@Nowhere/Else")', 'null'],
    ['duration("P1H")', 'null'],
    ['duration("P0D")', 'PT0S'],
    ['@"10:30:00.120Z"', '10:30:00.12Z'],
    ['@"2026-03-01T10:00:00+05:30".time offset', 'PT5H30M'],
    ['@"2026-03-01T10:00:00@Europe/Berlin".timezone', 'Europe/Berlin'],
  ])('%s is %s', (text, expected) => {
    expect(feel(text)).toBe(expected);
  });
});
