import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { holidaysOf } from '../../platform/calendar/holidays.js';
import type { ClockRule } from '../../policies/policies.contract.js';
import { claimClock, claimClocks, clockEnd, type ClockContext, type HolidayLookup } from './claim-clocks.js';

const rule = (changes: Partial<ClockRule>): ClockRule => ({
  id: 'c',
  title: 'A clock',
  ground: 'ground',
  source: 'source',
  starts: 'delivered',
  length: 1,
  unit: 'calendar days',
  stops: 'noticed',
  lapse: 'barred',
  owedBy: 'seller',
  ...changes,
});

const context = (changes: Partial<ClockContext>): ClockContext => ({
  events: {},
  asOf: '2025-01-01T00:00:00Z',
  zone: 'America/New_York',
  ground: 'damage',
  receipt: 'clean',
  safety: false,
  isHoliday: holidaysOf('US'),
  length: () => undefined,
  ...changes,
});

/** Last day of a clock that starts at noon of a date in a zone of the calendar's country. */
function lastDay(
  changes: Partial<ClockRule>,
  date: string,
  isHoliday: HolidayLookup = holidaysOf('US'),
): string | null {
  const zone = 'America/New_York';
  const events = { delivered: `${date}T12:00:00-05:00` };
  const { clock, needs } = claimClock(rule(changes), context({ events, asOf: events.delivered, zone, isHoliday }));
  expect(needs).toEqual([]);
  return clock.lastDay;
}

const none = (): boolean => false;

describe('the last day of a clock', () => {
  it.each([
    // 49 CFR 370.5(a): acknowledgment within 30 days of receipt. 2025-02-01 is a Saturday; the rule does not roll.
    ['49 CFR 370.5, acknowledge in 30 days', { length: 30 }, '2025-01-02', '2025-02-01'],
    // 49 CFR 370.9(a),(b): disposition in 120 days of receipt, then a status letter every 60 days.
    ['49 CFR 370.9, dispose in 120 days', { length: 120 }, '2025-01-02', '2025-05-02'],
    ['49 CFR 370.9, second status letter', { length: 180 }, '2025-01-02', '2025-07-01'],
    ['49 CFR 370.9, third status letter', { length: 240 }, '2025-01-02', '2025-08-30'],
    // 49 U.S.C. 14706(e)(1): no filing period shorter than 9 months; the end of the month is a clamp.
    ['49 U.S.C. 14706(e), 9 months from 31 May', { length: 9, unit: 'months' }, '2025-05-31', '2026-02-28'],
    // 49 U.S.C. 14706(e)(1): 2 years from the written disallowance.
    ['49 U.S.C. 14706(e), 2 years to sue', { length: 24, unit: 'months' }, '2024-06-15', '2026-06-15'],
    // National Motor Freight Classification, item 300135: concealed damage in 5 business days (Monday to Friday less federal holidays).
    ['NMFC item 300135 over 4 July', { length: 5, unit: 'business days' }, '2025-07-03', '2025-07-11'],
    ['NMFC item 300135 over Thanksgiving', { length: 5, unit: 'business days' }, '2025-11-26', '2025-12-04'],
    ['NMFC item 300135 over Christmas', { length: 5, unit: 'business days' }, '2025-12-22', '2025-12-30'],
    // The same item before 18 April 2015: 15 days, read as calendar days.
    ['NMFC item 300135 before April 2015', { length: 15 }, '2015-04-17', '2015-05-02'],
    // NMFC inspection item, 5 normal working days (from memory).
    ['NMFC inspection in 5 working days', { length: 5, unit: 'business days' }, '2025-03-03', '2025-03-10'],
    // 16 CFR 435.1(b): refund in 7 working days; Labor Day 2025-09-01.
    ['16 CFR 435.1, refund in 7 working days', { length: 7, unit: 'business days' }, '2025-08-29', '2025-09-10'],
    // 16 CFR 435.2: 30 days without a stated shipping date.
    ['16 CFR 435.2, ship in 30 days', { length: 30 }, '2025-04-01', '2025-05-01'],
    // 16 CFR 703.5(d): a dispute mechanism decides in 40 days (the figure from memory).
    ['16 CFR 703.5, decide in 40 days', { length: 40 }, '2025-02-10', '2025-03-22'],
    // 16 CFR 429.0-429.1: midnight of the third business day, any day but Sundays and federal holidays.
    [
      '16 CFR 429.1 over Memorial Day',
      { length: 3, unit: 'business days', week: 'monday to saturday' },
      '2025-05-23',
      '2025-05-28',
    ],
    [
      '16 CFR 429.1 over 4 July',
      { length: 3, unit: 'business days', week: 'monday to saturday' },
      '2025-07-02',
      '2025-07-07',
    ],
    [
      '16 CFR 429.1 over Veterans Day',
      { length: 3, unit: 'business days', week: 'monday to saturday' },
      '2025-11-07',
      '2025-11-12',
    ],
    // 16 CFR 1115.14: 5 days to impute knowledge, 10 to investigate, then 24 hours taken as one working day.
    ['16 CFR 1115.14(b), knowledge in 5', { length: 5, unit: 'business days' }, '2025-03-07', '2025-03-14'],
    ['16 CFR 1115.14(d), investigate in 10', { length: 10, unit: 'business days' }, '2025-03-14', '2025-03-28'],
    ['16 CFR 1115.14(e), report in 1', { length: 1, unit: 'business days' }, '2025-03-28', '2025-03-31'],
    // 16 CFR 1116.5 and 15 U.S.C. 2084: 30 days from the third settlement.
    ['15 U.S.C. 2084, report in 30 days', { length: 30 }, '2025-06-10', '2025-07-10'],
  ] as const)('follows %s', (_law, changes, start, expected) => {
    expect(lastDay(changes, start)).toBe(expected);
  });

  it('follows CMR art. 30(1): 7 days less Sundays and public holidays, day of delivery not counted', () => {
    const sevenDays = { length: 7, unit: 'business days', week: 'monday to saturday' } as const;
    // Good Friday and Easter Monday 2025, as in Germany.
    expect(lastDay(sevenDays, '2025-04-17', holidaysOf('DE'))).toBe('2025-04-28');
    expect(lastDay(sevenDays, '2025-03-03', none)).toBe('2025-03-11');
  });

  it('follows the Consumer Rights Act 2015 s.22(3): 30 days beginning with the day after the last event', () => {
    expect(lastDay({ length: 30 }, '2025-03-05', holidaysOf('GB'))).toBe('2025-04-04');
    expect(lastDay({ length: 30 }, '2025-03-03', holidaysOf('GB'))).toBe('2025-04-02');
  });

  it('follows the Consumer Rights Act 2015 s.20(15): 14 days beginning with the day of the agreement', () => {
    expect(lastDay({ length: 14, inclusive: true }, '2025-05-01', holidaysOf('GB'))).toBe('2025-05-14');
  });

  it('follows Directive 2011/83/EU art. 9 with Regulation 1182/71 art. 3(4): a holiday end rolls to the next working day', () => {
    expect(lastDay({ length: 14, rolls: true }, '2025-04-04', holidaysOf('DE'))).toBe('2025-04-22');
    expect(lastDay({ length: 14 }, '2025-04-04', holidaysOf('DE'))).toBe('2025-04-18');
  });

  it('follows the Montreal Convention art. 31(2): 14 days for damage, 21 for delay', () => {
    expect(lastDay({ length: 14 }, '2025-03-01')).toBe('2025-03-15');
    expect(lastDay({ length: 21 }, '2025-03-01')).toBe('2025-03-22');
  });

  it('follows the Hague-Visby Rules art. III r.6: 3 days from removal when not apparent', () => {
    expect(lastDay({ length: 3 }, '2025-02-27')).toBe('2025-03-02');
  });

  it('is the start day itself for an inclusive count of one, and the day before the anniversary for inclusive months', () => {
    expect(lastDay({ length: 1, inclusive: true }, '2025-03-08')).toBe('2025-03-08');
    expect(lastDay({ length: 1, inclusive: true, unit: 'business days' }, '2025-03-08')).toBe('2025-03-10');
    expect(lastDay({ length: 6, inclusive: true, unit: 'months' }, '2025-03-08')).toBe('2025-09-07');
  });
});

describe('the end of a clock', () => {
  const place = { zone: 'America/New_York', isHoliday: none };

  it('is midnight at the place after the last day, also when that day has 23 or 25 hours', () => {
    // Summer time in the United States begins on 9 March and ends on 2 November 2025 (15 U.S.C. 260a).
    const spring = clockEnd(rule({}), 1, { ...place, startedAt: '2025-03-08T12:00:00-05:00' });
    expect(spring.endsAt.toString()).toBe('2025-03-10T04:00:00Z');
    const autumn = clockEnd(rule({}), 1, { ...place, startedAt: '2025-11-01T12:00:00-04:00' });
    expect(autumn.endsAt.toString()).toBe('2025-11-03T05:00:00Z');
  });

  it('is exact for hours, across the change of clocks too', () => {
    const hours = rule({ unit: 'hours' });
    const end = clockEnd(hours, 24, { ...place, startedAt: '2025-03-08T12:00:00-05:00' });
    expect(end.endsAt.toString()).toBe('2025-03-09T17:00:00Z');
    expect(end.lastDay.toString()).toBe('2025-03-09');
    const midnight = clockEnd(hours, 24, { ...place, startedAt: '2025-01-01T00:00:00-05:00' });
    expect(midnight.lastDay.toString()).toBe('2025-01-01');
  });

  it('takes the start day at the place, not in UTC', () => {
    // 22:30 on 2 January in New York is already 3 January in UTC.
    const end = clockEnd(rule({}), 30, { ...place, startedAt: '2025-01-03T03:30:00Z' });
    expect(end.lastDay.toString()).toBe('2025-02-01');
  });
});

describe('the state of a clock', () => {
  const fiveDays = rule({ length: 5, unit: 'business days', stops: 'notice to carrier', lapse: 'burden shifts' });
  const delivered = '2025-07-03T15:00:00-04:00';
  const state = (asOf: string, notice?: string): string =>
    claimClock(
      fiveDays,
      context({ asOf, events: { delivered, ...(notice === undefined ? {} : { 'notice to carrier': notice }) } }),
    ).clock.state;

  it('is not started while its start has not happened', () => {
    const { clock } = claimClock(fiveDays, context({}));
    expect(clock).toMatchObject({ state: 'not started', startedAt: null, lastDay: null, endsAt: null });
  });

  it('is not started while its start lies after the instant of judging', () => {
    expect(
      claimClock(fiveDays, context({ events: { delivered }, asOf: '2025-07-03T14:59:59-04:00' })).clock.state,
    ).toBe('not started');
  });

  it('runs to the last moment of the last day and is missed from then on', () => {
    expect(state('2025-07-11T23:59:59.999999999-04:00')).toBe('running');
    expect(state('2025-07-12T00:00:00-04:00')).toBe('missed');
  });

  it('is met by a notice on the last day and missed by one on the next business day', () => {
    expect(state('2025-08-01T00:00:00Z', '2025-07-11T23:59:59-04:00')).toBe('met');
    expect(state('2025-08-01T00:00:00Z', '2025-07-14T08:00:00-04:00')).toBe('missed');
  });

  it('does not see a notice that lies after the instant of judging', () => {
    expect(state('2025-07-09T00:00:00Z', '2025-07-10T08:00:00-04:00')).toBe('running');
  });

  it('says what lapsing means: late notice of concealed damage shifts the burden, it does not bar the claim', () => {
    expect(claimClock(fiveDays, context({ events: { delivered } })).clock.lapse).toBe('burden shifts');
  });

  it('starts four clocks of one claim on four different events', () => {
    const events = {
      delivered: '2025-01-06T10:00:00-05:00',
      'carrier claim received': '2025-02-03T10:00:00-05:00',
      'carrier disallowed': '2025-05-05T10:00:00-04:00',
      'refund agreed': '2025-06-02T10:00:00-04:00',
    };
    const rules = [
      rule({ id: 'notice', starts: 'delivered', length: 5, unit: 'business days' }),
      rule({ id: 'dispose', starts: 'carrier claim received', length: 120 }),
      rule({ id: 'suit', starts: 'carrier disallowed', length: 24, unit: 'months' }),
      rule({ id: 'refund', starts: 'refund agreed', length: 7, unit: 'business days' }),
    ];
    const { clocks } = claimClocks(rules, context({ events, asOf: '2025-07-01T00:00:00Z' }));
    expect(clocks.map(({ lastDay }) => lastDay)).toEqual(['2025-01-13', '2025-06-03', '2027-05-05', '2025-06-11']);
  });

  it('leaves out clocks of other grounds', () => {
    const { clocks } = claimClocks(
      [rule({ grounds: ['return'] }), rule({ id: 'd', grounds: ['damage'] })],
      context({}),
    );
    expect(clocks.map(({ id }) => id)).toEqual(['d']);
  });

  it('leaves out clocks of other receipts, and clocks of safety where nothing is unsafe', () => {
    const rules = [
      rule({ id: 'noted', receipts: ['exceptions noted', 'refused'] }),
      rule({ id: 'concealed', receipts: ['clean', 'no signature'] }),
      rule({ id: 'safety', safetyOnly: true }),
    ];
    const ids = (changes: Partial<ClockContext>): string[] =>
      claimClocks(rules, context(changes)).clocks.map(({ id }) => id);
    expect(ids({})).toEqual(['concealed']);
    expect(ids({ receipt: 'refused', safety: true })).toEqual(['noted', 'safety']);
  });
});

describe('what a clock needs', () => {
  const events = { delivered: '2025-07-03T15:00:00-04:00' };

  it('takes a length named in words as the policy has it on the start date', () => {
    const length = (name: string, on: string): string | undefined =>
      name === 'notice days' ? (on < '2025-07-01' ? '3' : '7') : undefined;
    const asOf = '2025-08-01T00:00:00Z';
    const { clock } = claimClock(rule({ length: 'notice days' }), context({ events, length, asOf }));
    expect(clock.lastDay).toBe('2025-07-10');
  });

  it.each([undefined, '2.5', '-1', 'many', '999999'])('asks for its length when the policy gives %s', (given) => {
    const asOf = '2025-08-01T00:00:00Z';
    const { clock, needs } = claimClock(
      rule({ length: 'notice days' }),
      context({ events, length: () => given, asOf }),
    );
    expect(clock).toMatchObject({ state: 'running', lastDay: null, endsAt: null });
    expect(needs[0]?.what).toBe('length of clock c');
  });

  it('asks for the public holidays of a place that has no table, but only when it counts business days', () => {
    const asOf = '2025-08-01T00:00:00Z';
    const nowhere = context({ events, isHoliday: holidaysOf('ZZ'), asOf });
    expect(claimClock(rule({ unit: 'business days' }), nowhere).needs).toMatchObject([{ what: 'public holidays' }]);
    expect(claimClock(rule({ rolls: true }), nowhere).needs).toMatchObject([{ what: 'public holidays' }]);
    expect(claimClock(rule({}), nowhere).needs).toEqual([]);
  });
});

/**
 * An independent count with JS Date in UTC: steps one day at a time and asks the weekday of the Date, and adds months by the
 * calendar fields, falling back to the last day of the month that JS overflows out of.
 */
const independent = {
  businessDays(start: string, n: number, lastWeekday: number, holidays: ReadonlySet<string>): string {
    const day = new Date(`${start}T00:00:00Z`);
    let left = n;
    while (left > 0) {
      day.setUTCDate(day.getUTCDate() + 1);
      const weekday = day.getUTCDay();
      if (weekday >= 1 && weekday <= lastWeekday && !holidays.has(day.toISOString().slice(0, 10))) left -= 1;
    }
    return day.toISOString().slice(0, 10);
  },
  months(start: string, n: number): string {
    const [year = 0, month = 0, dayOfMonth = 0] = start.split('-').map(Number);
    const day = new Date(Date.UTC(year, month - 1 + n, dayOfMonth));
    // Overflow into the next month: day 0 of that month is the last one of the month before.
    if (day.getUTCDate() !== dayOfMonth) day.setUTCDate(0);
    return day.toISOString().slice(0, 10);
  },
};

const anyDate = fc
  .integer({ min: 0, max: 36_500 })
  .map((days) => Temporal.PlainDate.from('2000-01-01').add({ days }).toString());

describe('counting, against an independent count with JS Date', () => {
  it('agrees on business days for any start, length, week and set of holidays', () => {
    fc.assert(
      fc.property(
        anyDate,
        fc.integer({ min: 0, max: 60 }),
        fc.boolean(),
        fc.array(fc.integer({ min: 0, max: 90 }), { maxLength: 20 }),
        (start, length, saturdays, offsets) => {
          const from = Temporal.PlainDate.from(start);
          const holidays = new Set(offsets.map((days) => from.add({ days }).toString()));
          const week = saturdays ? 'monday to saturday' : 'monday to friday';
          const end = clockEnd(rule({ unit: 'business days', week }), length, {
            startedAt: `${start}T09:00:00Z`,
            zone: 'UTC',
            isHoliday: (on) => holidays.has(on.toString()),
          });
          expect(end.lastDay.toString()).toBe(independent.businessDays(start, length, saturdays ? 6 : 5, holidays));
        },
      ),
    );
  });

  it('agrees on months for any start and length', () => {
    fc.assert(
      fc.property(anyDate, fc.integer({ min: 0, max: 240 }), (start, length) => {
        const end = clockEnd(rule({ unit: 'months' }), length, {
          startedAt: `${start}T09:00:00Z`,
          zone: 'UTC',
          isHoliday: none,
        });
        expect(end.lastDay.toString()).toBe(independent.months(start, length));
      }),
    );
  });
});
