import fc from 'fast-check';
import { DateTime } from 'luxon';
import { describe, expect, it } from 'vitest';
import { clockEnd, type Wait } from './clock-count.js';

/** The clocks against luxon (npm), which shares neither code nor time zone arithmetic with Temporal. */

const ZONES = [
  'America/New_York',
  'America/Los_Angeles',
  'America/St_Johns',
  'America/Sao_Paulo',
  'America/Havana',
  'Africa/Cairo',
  'Asia/Beirut',
  'Asia/Kathmandu',
  'Asia/Tehran',
  'Australia/Lord_Howe',
  'Europe/Berlin',
  'Europe/London',
  'Pacific/Chatham',
  'Pacific/Auckland',
  'UTC',
];

/** Ten thousand random starts, zones and holiday sets for business days; the other units have no calendar to go wrong in. */
const RUNS = 10_000;
const FEWER = 1_500;
/** Property tests of this file compute for some seconds on a slow machine. */
const TIMEOUT = 120_000;

const instants = fc
  .integer({ min: Date.parse('2000-01-01T00:00:00Z') / 1000, max: Date.parse('2037-12-31T00:00:00Z') / 1000 })
  .map((seconds) => new Date(seconds * 1000).toISOString());
const zones = fc.constantFrom(...ZONES);
const offsets = fc.uniqueArray(fc.integer({ min: -5, max: 130 }), { maxLength: 30 });

const holidaySet = (startedAt: string, zone: string, days: readonly number[]): ReadonlySet<string> => {
  const start = DateTime.fromISO(startedAt, { zone }).startOf('day');
  return new Set(days.map((n) => start.plus({ days: n }).toISODate() ?? ''));
};

/** Midnight after a local date: the first moment that luxon puts on the next day, also where midnight does not exist. */
const endOf = (date: DateTime): number => date.plus({ days: 1 }).startOf('day').toMillis();
const dayOf = (iso: string, zone: string): DateTime => DateTime.fromISO(iso, { zone });

function businessDay(day: DateTime, lastWeekday: number, holidays: ReadonlySet<string>): boolean {
  return day.weekday <= lastWeekday && !holidays.has(day.toISODate() ?? '');
}

const atPlace = (startedAt: string, zone: string, holidays: ReadonlySet<string> = new Set()) => ({
  startedAt,
  zone,
  isHoliday: (on: Temporal.PlainDate) => holidays.has(on.toString()),
});

describe('clocks, against luxon', () => {
  it('agree on business days for any start, zone, length, week and set of holidays', { timeout: TIMEOUT }, () => {
    fc.assert(
      fc.property(
        instants,
        zones,
        fc.integer({ min: 0, max: 25 }),
        fc.boolean(),
        offsets,
        (at, zone, length, saturdays, days) => {
          const holidays = holidaySet(at, zone, days);
          const week = saturdays ? 'monday to saturday' : 'monday to friday';
          const end = clockEnd({ unit: 'business days', week }, length, atPlace(at, zone, holidays));
          let day = DateTime.fromISO(dayOf(at, zone).toISODate() ?? '', { zone: 'utc' });
          for (let left = length; left > 0;) {
            day = day.plus({ days: 1 });
            if (businessDay(day, saturdays ? 6 : 5, holidays)) left -= 1;
          }
          expect([end.lastDay.toString(), end.endsAt.epochMilliseconds]).toEqual([
            day.toISODate(),
            endOf(day.setZone(zone, { keepLocalTime: true }).startOf('day')),
          ]);
        },
      ),
      { numRuns: RUNS },
    );
  });

  it('agree on months with their clamps, inclusive and rolling or not', { timeout: TIMEOUT }, () => {
    fc.assert(
      fc.property(
        instants,
        zones,
        fc.integer({ min: 0, max: 120 }),
        fc.boolean(),
        fc.boolean(),
        (at, zone, length, inclusive, rolls) => {
          const end = clockEnd({ unit: 'months', inclusive, rolls }, length, atPlace(at, zone));
          let day = dayOf(at, zone).startOf('day').plus({ months: length });
          if (inclusive) day = day.minus({ days: 1 });
          if (rolls && day.weekday > 5) day = day.plus({ days: 8 - day.weekday });
          expect([end.lastDay.toString(), end.endsAt.epochMilliseconds]).toEqual([day.toISODate(), endOf(day)]);
        },
      ),
      { numRuns: FEWER },
    );
  });

  it('agree on calendar days and their end across the change of clocks', { timeout: TIMEOUT }, () => {
    fc.assert(
      fc.property(instants, zones, fc.integer({ min: 0, max: 400 }), fc.boolean(), (at, zone, length, inclusive) => {
        const end = clockEnd({ unit: 'calendar days', inclusive }, length, atPlace(at, zone));
        const day = dayOf(at, zone)
          .startOf('day')
          .plus({ days: inclusive ? length - 1 : length });
        expect([end.lastDay.toString(), end.endsAt.epochMilliseconds]).toEqual([day.toISODate(), endOf(day)]);
      }),
      { numRuns: FEWER },
    );
  });

  it('agree on hours', { timeout: TIMEOUT }, () => {
    fc.assert(
      fc.property(instants, zones, fc.integer({ min: 1, max: 500 }), (at, zone, length) => {
        const end = clockEnd({ unit: 'hours' }, length, atPlace(at, zone));
        const luxon = dayOf(at, zone).plus({ hours: length });
        expect([end.lastDay.toString(), end.endsAt.epochMilliseconds]).toEqual([
          luxon.minus({ milliseconds: 1 }).toISODate(),
          luxon.toMillis(),
        ]);
      }),
      { numRuns: FEWER },
    );
  });

  it(
    'agree on the end after a wait, the later of the moved limit and the days after the wait',
    { timeout: TIMEOUT },
    () => {
      fc.assert(
        fc.property(
          instants,
          zones,
          fc.record({
            length: fc.integer({ min: 0, max: 90 }),
            begins: fc.integer({ min: 0, max: 120 }),
            lasts: fc.integer({ min: 0, max: 60 }),
            afterWait: fc.integer({ min: 0, max: 14 }),
            inclusive: fc.boolean(),
          }),
          (at, zone, { length, begins, lasts, afterWait, inclusive }) => {
            const from = dayOf(at, zone).plus({ days: begins });
            const until = from.plus({ days: lasts });
            const wait: Wait = {
              from: from.toUTC().toISO() ?? '',
              until: until.toUTC().toISO() ?? '',
              inclusive,
              afterWait,
            };
            const end = clockEnd({ unit: 'calendar days' }, length, atPlace(at, zone), wait);
            const limit = dayOf(at, zone).startOf('day').plus({ days: length });
            const days = Math.round(until.startOf('day').diff(from.startOf('day'), 'days').days) + (inclusive ? 1 : 0);
            const moved = DateTime.max(limit.plus({ days }), until.startOf('day').plus({ days: afterWait }));
            const day = from.startOf('day') > limit ? limit : moved;
            expect(end.lastDay.toString()).toBe(day.toISODate());
          },
        ),
        { numRuns: FEWER },
      );
    },
  );
});
