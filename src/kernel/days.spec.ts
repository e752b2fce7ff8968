import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  addBusinessDays,
  addMonths,
  compareInstants,
  completedMonths,
  dayAfter,
  daysBetween,
  endOfDay,
  isBusinessDay,
  localDate,
  type BusinessWeek,
} from './days.js';

const date = (text: string): Temporal.PlainDate => Temporal.PlainDate.from(text);
const none = (): boolean => false;
const on =
  (...holidays: readonly string[]) =>
  (day: Temporal.PlainDate): boolean =>
    holidays.includes(day.toString());

describe('business days', () => {
  // Holidays named in a row are the US federal holidays, or the German ones for the CMR rows, that fall inside it.
  it.each<[string, string, number, BusinessWeek, readonly string[], string]>([
    // National Motor Freight Classification, Item 300135: five business days after delivery.
    ['concealed damage over 4 July', '2025-07-03', 5, 'monday to friday', ['2025-07-04'], '2025-07-11'],
    ['concealed damage over Thanksgiving', '2025-11-26', 5, 'monday to friday', ['2025-11-27'], '2025-12-04'],
    ['concealed damage over Christmas', '2025-12-22', 5, 'monday to friday', ['2025-12-25'], '2025-12-30'],
    // 16 CFR 429.0: Saturdays count, Sundays and federal holidays do not.
    ['cooling off over Memorial Day', '2025-05-23', 3, 'monday to saturday', ['2025-05-26'], '2025-05-28'],
    ['cooling off over 4 July', '2025-07-02', 3, 'monday to saturday', ['2025-07-04'], '2025-07-07'],
    ['cooling off over Veterans Day', '2025-11-07', 3, 'monday to saturday', ['2025-11-11'], '2025-11-12'],
    // 16 CFR 435.1(b): seven working days.
    ['refund over Labor Day', '2025-08-29', 7, 'monday to friday', ['2025-09-01'], '2025-09-10'],
    // 16 CFR 1115.14: five and ten working days, then one.
    ['officer knows', '2025-03-07', 5, 'monday to friday', [], '2025-03-14'],
    ['investigation ends', '2025-03-14', 10, 'monday to friday', [], '2025-03-28'],
    ['report is due', '2025-03-28', 1, 'monday to friday', [], '2025-03-31'],
    // CMR art. 30(1): seven days, Sundays and public holidays not counted.
    ['CMR over Easter', '2025-04-17', 7, 'monday to saturday', ['2025-04-18', '2025-04-21'], '2025-04-28'],
    ['CMR without holidays', '2025-03-03', 7, 'monday to saturday', [], '2025-03-11'],
    ['no days at all', '2025-03-01', 0, 'monday to friday', [], '2025-03-01'],
  ])('%s', (_, from, n, week, holidays, expected) => {
    const last = addBusinessDays(date(from), n, week, on(...holidays));
    expect(last.toString()).toBe(expected);
  });

  it('end on a business day, with exactly n of them counted', () => {
    const start = fc.integer({ min: 0, max: 20_000 }).map((n) => date('2000-01-01').add({ days: n }));
    fc.assert(
      fc.property(start, fc.integer({ min: 1, max: 40 }), (from, n) => {
        const last = addBusinessDays(from, n, 'monday to friday', none);
        let counted = 0;
        for (let day = from.add({ days: 1 }); Temporal.PlainDate.compare(day, last) <= 0; day = day.add({ days: 1 })) {
          if (isBusinessDay(day, 'monday to friday', none)) counted += 1;
        }
        expect(counted).toBe(n);
        expect(isBusinessDay(last, 'monday to friday', none)).toBe(true);
      }),
    );
  });
});

describe('calendar days and months', () => {
  it.each([
    // 49 CFR 370.5: 30 days from receipt. 49 CFR 370.9: 120 days, then every 60.
    ['2025-01-02', 30, '2025-02-01'],
    ['2025-01-02', 120, '2025-05-02'],
    ['2025-01-02', 180, '2025-07-01'],
    ['2025-01-02', 240, '2025-08-30'],
    // Consumer Rights Act 2015 s.22(3): thirty days beginning with the day after.
    ['2025-03-03', 30, '2025-04-02'],
    ['2025-03-05', 30, '2025-04-04'],
    // Montreal Convention art. 31(2).
    ['2025-03-01', 14, '2025-03-15'],
    ['2025-03-01', 21, '2025-03-22'],
  ])('%s and %i days is %s', (from, days, to) => {
    expect(daysBetween(date(from), date(to))).toBe(days);
    expect(daysBetween(date(to), date(from))).toBe(-days);
  });

  it.each([
    // 49 U.S.C. 14706(e)(1): nine months, clamped to the end of February.
    ['2025-05-31', 9, '2026-02-28'],
    ['2023-05-31', 9, '2024-02-29'],
    // 49 U.S.C. 14706(e)(1): two years from disallowance.
    ['2024-06-15', 24, '2026-06-15'],
    ['2024-02-29', 12, '2025-02-28'],
    ['2024-01-31', 1, '2024-02-29'],
  ])('%s and %i months is %s', (from, months, to) => {
    expect(addMonths(date(from), months).toString()).toBe(to);
  });

  it.each([
    // Completed months, as a pro-rata warranty counts them: a month is complete on its day, and 31 January has none in February.
    ['2025-01-31', '2025-02-28', 0],
    ['2025-01-31', '2025-03-01', 1],
    ['2025-01-15', '2025-02-14', 0],
    ['2025-01-15', '2025-02-15', 1],
    ['2024-05-10', '2025-05-09', 11],
    ['2024-05-10', '2025-05-10', 12],
    ['2025-02-15', '2025-01-15', 0],
  ])('from %s to %s: %i', (from, to, months) => {
    expect(completedMonths(date(from), date(to))).toBe(months);
  });
});

describe('days at a place', () => {
  // Transitions of the IANA time zone database.
  it.each([
    ['2025-03-08', 'America/New_York', '2025-03-09T05:00:00Z'],
    ['2025-03-09', 'America/New_York', '2025-03-10T04:00:00Z'],
    ['2025-11-02', 'America/New_York', '2025-11-03T05:00:00Z'],
    ['2025-03-30', 'Europe/Berlin', '2025-03-30T22:00:00Z'],
    ['2025-10-26', 'Europe/Berlin', '2025-10-26T23:00:00Z'],
    ['2025-06-30', 'Europe/London', '2025-06-30T23:00:00Z'],
    // A day that begins at one o'clock because midnight was skipped.
    ['2018-11-03', 'America/Sao_Paulo', '2018-11-04T03:00:00Z'],
  ])('%s in %s ends at %s', (day, zone, instant) => {
    expect(endOfDay(date(day), zone).toString()).toBe(instant);
  });

  it.each([
    ['2025-03-09T04:59:59Z', 'America/New_York', '2025-03-08'],
    ['2025-03-09T05:00:00Z', 'America/New_York', '2025-03-09'],
    ['2025-03-10T03:59:59Z', 'America/New_York', '2025-03-09'],
    ['2025-10-26T22:59:59Z', 'Europe/Berlin', '2025-10-26'],
    ['2025-10-26T23:00:00Z', 'Europe/Berlin', '2025-10-27'],
    ['2025-01-01T00:30:00+02:00', 'Europe/London', '2024-12-31'],
  ])('%s in %s is %s', (at, zone, day) => {
    expect(localDate(at, zone).toString()).toBe(day);
  });
});

describe('the order of instants', () => {
  it.each([
    ['2026-03-04T10:00:00-05:00', '2026-03-04T15:00:00Z', 0],
    ['2026-03-04T10:00:00-05:00', '2026-03-04T10:00:00Z', 1],
    ['2026-03-04T10:00:00.000000001Z', '2026-03-04T10:00:00.000000002Z', -1],
  ] as const)('of %s and %s is %i, to the nanosecond and whatever the offset', (a, b, order) => {
    expect(compareInstants(a, b)).toBe(order);
    expect(compareInstants(Temporal.Instant.from(a), b)).toBe(order);
    expect(compareInstants(b, Temporal.Instant.from(a)) + order).toBe(0);
  });

  it('is refused for what is no instant', () => {
    expect(() => compareInstants('yesterday', '2026-03-04T10:00:00Z')).toThrow(RangeError);
  });

  it('agrees with Temporal for any two, asked for again and again', () => {
    const instant = fc
      .date({ min: new Date(0), max: new Date(4e12), noInvalidDate: true })
      .map((at) => at.toISOString());
    fc.assert(
      fc.property(instant, instant, (a, b) => {
        const expected = Temporal.Instant.compare(Temporal.Instant.from(a), Temporal.Instant.from(b));
        expect([compareInstants(a, b), compareInstants(a, b)]).toEqual([expected, expected]);
      }),
    );
  });
});

describe('the day after', () => {
  it('is the next date through every month and leap year from 1999 to 2101', () => {
    const wrong: string[] = [];
    for (let day = date('1999-01-01'); day.year < 2102;) {
      const next = dayAfter(day);
      if (!next.equals(day.add({ days: 1 }))) wrong.push(day.toString());
      day = next;
    }
    expect(wrong).toEqual([]);
  });

  it('ends at midnight of its place, for days of 23, 24 and 25 hours, however often it is asked', () => {
    for (const zone of ['America/New_York', 'Europe/Berlin', 'Africa/Cairo', 'Pacific/Apia']) {
      for (let day = date('2011-01-01'); day.year < 2012; day = day.add({ days: 1 })) {
        const expected = day.add({ days: 1 }).toZonedDateTime(zone).toInstant().toString();
        expect([endOfDay(day, zone).toString(), endOfDay(day, zone).toString()]).toEqual([expected, expected]);
      }
    }
  });
});
