import { describe, expect, it } from 'vitest';
import { holidaysOf } from '../../platform/calendar/holidays.js';
import { shippedDocument } from '../../platform/files/shipped-documents.js';
import { compilePolicy, type ClockRule, type ClockStart } from '../../policies/policies.contract.js';
import type { Clock } from '../adjudication.contract.js';
import { claimClock, claimClocks, type ClockContext, type HolidayLookup } from './claim-clocks.js';

/** Dates that statutes, conventions and regulations lead to, each with its law. Judged late enough that everything has run out. */

type Days = Partial<Record<ClockStart, string>>;

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

const ZONES: Readonly<Record<string, string>> = { US: 'America/New_York', GB: 'Europe/London', DE: 'Europe/Berlin' };

/** Everything at noon of its day at the place. */
function context(place: string, days: Days, changes: Partial<ClockContext> = {}): ClockContext {
  const zone = ZONES[place] ?? 'UTC';
  const noon = (day: string): string =>
    Temporal.PlainDate.from(day).toZonedDateTime({ timeZone: zone, plainTime: '12:00' }).toInstant().toString();
  const events = Object.fromEntries(Object.entries(days).map(([what, day]) => [what, noon(day)]));
  return {
    events,
    asOf: '2040-01-01T00:00:00Z',
    zone,
    ground: 'damage',
    receipt: 'clean',
    safety: false,
    isHoliday: holidaysOf(place),
    length: () => undefined,
    ...changes,
  };
}

const clockOf = (changes: Partial<ClockRule>, place: string, days: Days, more?: Partial<ClockContext>): Clock =>
  claimClock(rule(changes), context(place, days, more)).clock;

const none: HolidayLookup = () => false;

describe('carriage in the United States', () => {
  it.each([
    ['49 U.S.C. 14706(e)(1): nine months from 31 May end with February', 9, '2025-05-31', '2026-02-28'],
    // A carrier's own six months are shorter than the law lets it set.
    ['49 U.S.C. 14706(e)(1): a six-month clause counts as nine', 6, '2025-05-31', '2026-02-28'],
    ['49 U.S.C. 14706(e)(1): a longer clause stands', 12, '2025-05-31', '2026-05-31'],
  ])('%s', (_law, length, delivered, last) => {
    expect(clockOf({ length, floor: 9, unit: 'months' }, 'US', { delivered }).lastDay).toBe(last);
  });

  it('49 U.S.C. 14706(e): without a period of the carrier there is no deadline, not nine months', () => {
    const { clock, needs } = claimClock(
      rule({ length: 'filing months', floor: 9, unit: 'months' }),
      context('US', { delivered: '2025-05-31' }),
    );
    expect(clock).toMatchObject({ state: 'running', lastDay: null });
    expect(needs.map(({ what }) => what)).toEqual(['length of clock c']);
  });

  it('49 U.S.C. 14706(e)(2): the two years to sue run from the written disallowance, not from delivery or an offer', () => {
    const suit = { starts: 'carrier disallowed', length: 24, floor: 24, unit: 'months' } as const;
    const offered = { delivered: '2024-01-10', 'carrier disposed': '2024-05-01' };
    expect(clockOf(suit, 'US', { ...offered, 'carrier disallowed': '2024-06-15' }).lastDay).toBe('2026-06-15');
    expect(clockOf(suit, 'US', offered).state).toBe('not started');
  });

  it('49 CFR 370.5(a): acknowledgment in 30 days; 2025-02-01 is a Saturday and the rule does not roll on', () => {
    const ack = {
      starts: 'carrier claim received',
      stops: 'carrier acknowledged',
      length: 30,
      lapse: 'breach',
    } as const;
    const received = { 'carrier claim received': '2025-01-02' };
    expect(clockOf(ack, 'US', received)).toMatchObject({ lastDay: '2025-02-01', state: 'missed' });
    expect(clockOf(ack, 'US', { ...received, 'carrier acknowledged': '2025-01-22' }).state).toBe('met');
  });

  describe('49 CFR 370.9: disposition in 120 days of receipt, and a status letter then and every 60 days', () => {
    const dispose = rule({
      starts: 'carrier claim received',
      stops: 'carrier disposed',
      length: 120,
      repeatsEvery: 60,
      lapse: 'breach',
    });
    const received = { 'carrier claim received': '2025-01-02' };
    const turns = (asOf: string, days: Days = {}, statusLetters: string[] = []): unknown[] =>
      claimClocks([dispose], context('US', { ...received, ...days }, { asOf, statusLetters })).clocks.map(
        ({ occurrence, lastDay, state }) => [occurrence, lastDay, state],
      );

    it('falls due on 2025-05-02, 2025-07-01 and 2025-08-30', () => {
      expect(turns('2025-08-01T12:00:00Z')).toEqual([
        [1, '2025-05-02', 'missed'],
        [2, '2025-07-01', 'missed'],
        [3, '2025-08-30', 'running'],
      ]);
    });

    it('is in order with a status letter on the day, and a breach without one', () => {
      const letter = ['2025-05-02T15:00:00-04:00'];
      expect(turns('2025-05-20T12:00:00Z', {}, letter)).toEqual([
        [1, '2025-05-02', 'met'],
        [2, '2025-07-01', 'running'],
      ]);
      const [first] = claimClocks(
        [dispose],
        context('US', received, { asOf: '2025-05-20T12:00:00Z', statusLetters: letter }),
      ).clocks;
      expect(first?.effect).toContain('kept the delay in order');
      expect(turns('2025-05-20T12:00:00Z')[0]).toEqual([1, '2025-05-02', 'missed']);
    });

    it('wants a letter for each turn: one letter does not serve two', () => {
      expect(turns('2025-07-10T12:00:00Z', {}, ['2025-05-01T15:00:00Z'])).toEqual([
        [1, '2025-05-02', 'met'],
        [2, '2025-07-01', 'missed'],
        [3, '2025-08-30', 'running'],
      ]);
    });

    it('ends with the disposition', () => {
      expect(turns('2026-01-01T00:00:00Z', { 'carrier disposed': '2025-04-01' })).toEqual([[1, '2025-05-02', 'met']]);
      expect(turns('2026-01-01T00:00:00Z', { 'carrier disposed': '2025-06-01' })).toEqual([
        [1, '2025-05-02', 'missed'],
        [2, '2025-07-01', 'met'],
      ]);
    });

    it('does not hear a letter that lies after the day of judging', () => {
      expect(turns('2025-04-20T12:00:00Z', {}, ['2025-05-01T15:00:00Z'])).toEqual([[1, '2025-05-02', 'running']]);
    });
  });

  describe('National Motor Freight Classification, Item 300135', () => {
    const concealed = { length: 5, unit: 'business days', stops: 'notice to carrier', lapse: 'burden shifts' } as const;

    it.each([
      ['over 4 July', '2025-07-03', '2025-07-11'],
      ['over Thanksgiving', '2025-11-26', '2025-12-04'],
      ['over Christmas', '2025-12-22', '2025-12-30'],
    ])('five business days %s', (_when, delivered, last) => {
      expect(clockOf(concealed, 'US', { delivered }).lastDay).toBe(last);
    });

    it('is timely on the last day; from the next business day on the burden is the claimant’s, and nothing is barred', () => {
      const delivered = '2025-07-03';
      expect(clockOf(concealed, 'US', { delivered, 'notice to carrier': '2025-07-11' }).effect).toBe('Met in time.');
      const late = clockOf(concealed, 'US', { delivered, 'notice to carrier': '2025-07-14' });
      expect(late).toMatchObject({ state: 'missed', lapse: 'burden shifts' });
      expect(late.effect).toContain('Late, not barred');
    });

    it('had 15 days for deliveries before 18 April 2015', () => {
      expect(
        clockOf({ ...concealed, length: 15, unit: 'calendar days' }, 'US', { delivered: '2015-04-17' }).lastDay,
      ).toBe('2015-05-02');
    });

    it('the carrier inspects in five working days, then the consignee may (from memory)', () => {
      expect(clockOf({ length: 5, unit: 'business days' }, 'US', { delivered: '2025-03-03' }).lastDay).toBe(
        '2025-03-10',
      );
    });
  });
});

describe('carriage under a convention', () => {
  const cmr = { length: 7, unit: 'business days', week: 'monday to saturday', stops: 'notice to carrier' } as const;

  it('CMR art. 30(1): seven days less Sundays and public holidays; Saturdays count, the day of delivery does not', () => {
    const easter: HolidayLookup = (on) => ['2025-04-18', '2025-04-21'].includes(on.toString());
    expect(clockOf(cmr, 'DE', { delivered: '2025-04-17' }, { isHoliday: easter }).lastDay).toBe('2025-04-28');
    expect(clockOf(cmr, 'DE', { delivered: '2025-04-17' }).lastDay).toBe('2025-04-28');
    expect(clockOf(cmr, 'DE', { delivered: '2025-03-03' }, { isHoliday: none }).lastDay).toBe('2025-03-11');
  });

  it('CMR art. 32 (from memory): a claim lodged on day 100 and rejected on day 160 moves the year by 60 days', () => {
    const bar = {
      length: 12,
      unit: 'months',
      stops: 'settled',
      pausedBy: 'carrier claim received',
      resumedBy: 'carrier disallowed',
    } as const;
    const delivered = '2025-01-01';
    const day = (n: number): string => Temporal.PlainDate.from(delivered).add({ days: n }).toString();
    expect(clockOf(bar, 'DE', { delivered }).lastDay).toBe('2026-01-01');
    const lodged = { delivered, 'carrier claim received': day(100) };
    expect(clockOf(bar, 'DE', { ...lodged, 'carrier disallowed': day(160) }).lastDay).toBe('2026-03-02');
    const still = clockOf(bar, 'DE', lodged);
    expect(still).toMatchObject({ state: 'running', endsAt: null });
    expect(still.pausedAt).toBe('2025-04-11T10:00:00Z');
    expect(still.effect).toContain('stands still');
    // A claim lodged after the year is over revives nothing.
    expect(clockOf(bar, 'DE', { delivered, 'carrier claim received': day(400) })).toMatchObject({
      state: 'missed',
      lastDay: '2026-01-01',
    });
  });

  it('Montreal Convention arts. 31(2), 35: 14 days for damage, 21 for delay, two years to sue; late is barred', () => {
    const received = { delivered: '2025-03-01' };
    const damage = clockOf({ length: 14, stops: 'notice to carrier', lapse: 'barred' }, 'US', received);
    expect(damage).toMatchObject({ lastDay: '2025-03-15', state: 'missed' });
    expect(damage.effect).toContain('Barred');
    expect(clockOf({ length: 21 }, 'US', received).lastDay).toBe('2025-03-22');
    expect(clockOf({ length: 24, unit: 'months' }, 'US', received).lastDay).toBe('2027-03-01');
  });

  it('Hague-Visby art. III r. 6: three days from removal, one year to sue (from memory); late is a presumption only', () => {
    const removed = { delivered: '2025-02-27' };
    const notice = clockOf({ length: 3, lapse: 'burden shifts' }, 'US', removed);
    expect(notice.lastDay).toBe('2025-03-02');
    expect(notice.effect).toContain('not barred');
    expect(clockOf({ length: 12, unit: 'months' }, 'US', removed).lastDay).toBe('2026-02-27');
  });

  // Comparison periods printed in a freight forwarders' bulletin of July 2024.
  it.each([
    ['CIM rail, not apparent', 7, '2025-03-08'],
    ['FIATA bill of lading, consecutive days', 6, '2025-03-07'],
    ['Warsaw Convention 1929, damage', 7, '2025-03-08'],
    ['Warsaw Convention 1929, delay', 14, '2025-03-15'],
    ['apparent damage, at delivery', 0, '2025-03-01'],
  ])('%s: %i days', (_regime, length, last) => {
    expect(clockOf({ length }, 'DE', { delivered: '2025-03-01' }).lastDay).toBe(last);
  });

  it('starts four clocks of one claim on four different events', () => {
    const days = {
      delivered: '2025-01-06',
      'carrier claim received': '2025-02-03',
      'carrier disallowed': '2025-05-05',
      'refund agreed': '2025-06-02',
    };
    const rules = [
      rule({ id: 'notice', length: 5, unit: 'business days' }),
      rule({ id: 'acknowledge', starts: 'carrier claim received', length: 30 }),
      rule({ id: 'suit', starts: 'carrier disallowed', length: 24, unit: 'months' }),
      rule({ id: 'refund', starts: 'refund agreed', length: 7, unit: 'business days' }),
    ];
    const { clocks } = claimClocks(rules, context('US', days));
    expect(clocks.map(({ lastDay }) => lastDay)).toEqual(['2025-01-13', '2025-03-05', '2027-05-05', '2025-06-11']);
  });
});

describe('consumer law of the United States', () => {
  it.each([
    ['16 CFR 703.5(d): decide a dispute in 40 days (from memory)', { length: 40 }, '2025-02-10', '2025-03-22'],
    [
      '16 CFR 703.5(e): seven more where the warrantor was not asked first (from memory)',
      { length: 47 },
      '2025-02-10',
      '2025-03-29',
    ],
    [
      '16 CFR 435.1(b): refund in seven working days, Labor Day between',
      { length: 7, unit: 'business days' },
      '2025-08-29',
      '2025-09-10',
    ],
    ['16 CFR 435.2: a part promised without a date, 30 days', { length: 30 }, '2025-04-01', '2025-05-01'],
    ['16 CFR 435.2: 50 days where the buyer applied for credit', { length: 50 }, '2025-04-01', '2025-05-21'],
    ['16 CFR 1116.5; 15 U.S.C. 2084: report in 30 days', { length: 30 }, '2025-06-10', '2025-07-10'],
  ] as const)('%s', (_law, changes, start, last) => {
    expect(clockOf(changes, 'US', { delivered: start }).lastDay).toBe(last);
  });

  it('16 CFR 435.1(b): a payment method found unusable starts seven new working days', () => {
    const refund = {
      starts: 'refund agreed',
      laterOf: ['payment unusable'],
      length: 7,
      unit: 'business days',
    } as const;
    expect(clockOf(refund, 'US', { 'refund agreed': '2025-08-29', 'payment unusable': '2025-09-03' }).lastDay).toBe(
      '2025-09-12',
    );
    expect(clockOf(refund, 'US', { 'payment unusable': '2025-09-03' }).state).toBe('not started');
  });

  // A business day of 16 CFR 429.0 is any day but Sunday and federal holidays: not that of the freight classification.
  it.each([
    ['Memorial Day', '2025-05-23', '2025-05-28', '2025-05-29'],
    ['4 July', '2025-07-02', '2025-07-07', '2025-07-08'],
    ['Veterans Day', '2025-11-07', '2025-11-12', '2025-11-13'],
  ])(
    '16 CFR 429.1: cancel by midnight of the third business day, over %s; without Saturdays it would be later',
    (_day, sold, last, withoutSaturdays) => {
      const three = { length: 3, unit: 'business days' } as const;
      expect(clockOf({ ...three, week: 'monday to saturday' }, 'US', { delivered: sold }).lastDay).toBe(last);
      expect(clockOf(three, 'US', { delivered: sold }).lastDay).toBe(withoutSaturdays);
    },
  );

  it('16 CFR 1115.14: five working days to know, ten to investigate, then one to report', () => {
    const days = (length: number) => ({ length, unit: 'business days' }) as const;
    expect(clockOf(days(5), 'US', { delivered: '2025-03-07' }).lastDay).toBe('2025-03-14');
    expect(clockOf(days(10), 'US', { delivered: '2025-03-14' }).lastDay).toBe('2025-03-28');
    expect(clockOf(days(1), 'US', { delivered: '2025-03-28' }).lastDay).toBe('2025-03-31');
    // A clear hazard is reported on the next working day, without the ten.
    expect(clockOf(days(1), 'US', { delivered: '2025-03-07' }).lastDay).toBe('2025-03-10');
  });
});

describe('consumer law of the European Union', () => {
  it('Directive (EU) 2019/771 arts. 10, 11: one year of presumption, two of liability', () => {
    const burden = { length: 12, unit: 'months', lapse: 'burden shifts' } as const;
    const liability = { length: 24, unit: 'months', lapse: 'barred' } as const;
    const at = (noticed: string, changes: Partial<ClockRule>): string =>
      clockOf(changes, 'DE', { delivered: '2024-05-10', noticed }).state;
    expect([at('2025-05-09', burden), at('2025-05-11', burden)]).toEqual(['met', 'missed']);
    expect([at('2025-05-11', liability), at('2026-05-11', liability)]).toEqual(['met', 'missed']);
  });

  it('Directive 2011/83/EU art. 9 with Regulation 1182/71 art. 3(4): day 14 on Good Friday rolls to Easter Tuesday', () => {
    expect(clockOf({ length: 14, rolls: true }, 'DE', { delivered: '2025-04-04' }).lastDay).toBe('2025-04-22');
  });

  it('CJEU C-681/17: a mattress unsealed on day 9 can still be sent back on day 14', () => {
    const withdraw = { length: 14, rolls: true, stops: 'filed' } as const;
    expect(clockOf(withdraw, 'DE', { delivered: '2014-11-25', filed: '2014-12-09' }).state).toBe('met');
  });

  it('Directive (EU) 2024/1799: choosing repair adds twelve months once (from memory); replacement does not', () => {
    const liability = { length: 24, unit: 'months', extendedBy: 'repair requested', extension: 12 } as const;
    const delivered = '2026-09-01';
    expect(clockOf(liability, 'DE', { delivered, 'repair requested': '2027-01-10' }).lastDay).toBe('2029-09-01');
    expect(clockOf(liability, 'DE', { delivered }).lastDay).toBe('2028-09-01');
  });
});

describe('the Consumer Rights Act 2015', () => {
  const reject = {
    length: 30,
    stops: 'filed',
    laterOf: ['installed'],
    pausedBy: 'repair requested',
    resumedBy: 'goods back',
    waitInclusive: true,
    afterWait: 7,
  } as const;

  it('s.22(3): 30 days beginning with the day after the last of delivery and installation', () => {
    expect(clockOf(reject, 'GB', { delivered: '2025-03-03', installed: '2025-03-05' }).lastDay).toBe('2025-04-04');
    expect(clockOf(reject, 'GB', { delivered: '2025-03-03' }).lastDay).toBe('2025-04-02');
  });

  it.each([
    // Limit 2025-04-04 in both. Both days of the wait count: 22 days, and 9 days.
    ['moves the limit by the wait', '2025-03-20', '2025-04-10', '2025-04-26'],
    ['leaves seven days after the wait where that is later', '2025-04-02', '2025-04-10', '2025-04-17'],
  ])('s.22(6)-(8): a repair %s', (_rule, asked, back, last) => {
    const days = { delivered: '2025-03-03', installed: '2025-03-05', 'repair requested': asked, 'goods back': back };
    expect(clockOf(reject, 'GB', days).lastDay).toBe(last);
  });

  it('s.22(6): the clock stands still while the goods are away, and a wait after the limit changes nothing', () => {
    const delivered = { delivered: '2025-03-03' };
    expect(clockOf(reject, 'GB', { ...delivered, 'repair requested': '2025-03-20' })).toMatchObject({
      state: 'running',
      endsAt: null,
    });
    const late = { ...delivered, 'repair requested': '2025-04-03', 'goods back': '2025-04-20' };
    expect(clockOf(reject, 'GB', late).lastDay).toBe('2025-04-02');
  });

  it('s.20(15): 14 days beginning with the day of the agreement', () => {
    const refund = { starts: 'refund agreed', length: 14, inclusive: true } as const;
    expect(clockOf(refund, 'GB', { 'refund agreed': '2025-05-01' }).lastDay).toBe('2025-05-14');
  });

  it('s.19(14): a fault inside six months of delivery counts as there from the start', () => {
    const presumed = { length: 6, unit: 'months', lapse: 'burden shifts' } as const;
    expect(clockOf(presumed, 'GB', { delivered: '2025-01-15', noticed: '2025-06-20' }).state).toBe('met');
    expect(clockOf(presumed, 'GB', { delivered: '2025-01-15', noticed: '2025-07-16' }).state).toBe('missed');
  });

  it('s.28(3): delivery is due in 30 days of the contract where no other time was agreed', () => {
    expect(clockOf({ length: 30 }, 'GB', { delivered: '2025-05-01' }).lastDay).toBe('2025-05-31');
  });
});

describe('the shipped policies', () => {
  const shippedClocks = (code: string): readonly ClockRule[] => {
    const compiled = compilePolicy(shippedDocument('policy', `${code}-powered-furniture/1`)?.json);
    if (!compiled.ok) throw new Error(JSON.stringify(compiled.faults));
    return compiled.policy.document.clocks ?? [];
  };
  const named = (code: string, id: string): ClockRule => {
    const found = shippedClocks(code).find((each) => each.id === id);
    if (!found) throw new Error(`${code} has no ${id}`);
    return found;
  };

  it('name a source for every clock', () => {
    for (const code of ['us', 'eu', 'uk'])
      for (const { id, source, ground } of shippedClocks(code)) expect([id, source && ground]).not.toContain('');
  });

  it('carry the wait of the Consumer Rights Act 2015 s.22(6)-(8)', () => {
    const days = { delivered: '2025-03-05', 'repair requested': '2025-03-20', 'goods back': '2025-04-10' };
    const length = (): string => '30';
    expect(claimClock(named('uk', 'CLK-UK-REJECT'), context('GB', days, { length })).clock.lastDay).toBe('2025-04-26');
  });

  it('carry the repeating turn of 49 CFR 370.9(b)', () => {
    const days = { 'carrier claim received': '2025-01-02' };
    const { clocks } = claimClocks(
      [named('us', 'CLK-US-DISPOSE')],
      context('US', days, { asOf: '2025-08-01T00:00:00Z' }),
    );
    expect(clocks.map(({ lastDay }) => lastDay)).toEqual(['2025-05-02', '2025-07-01', '2025-08-30']);
  });

  it('keep the clocks of a convention to its own kind of carriage', () => {
    const ids = (transport?: string): string[] =>
      claimClocks(
        shippedClocks('eu'),
        context('DE', { delivered: '2025-03-03' }, transport === undefined ? {} : { transport }),
      ).clocks.map(({ id }) => id);
    expect(ids().filter((id) => /ROAD|AIR|SEA/.test(id))).toEqual([]);
    expect(ids('air').filter((id) => /ROAD|AIR|SEA/.test(id))).toEqual(['CLK-EU-AIR-NOTICE', 'CLK-EU-AIR-ACTION']);
    expect(ids('international road')).toContain('CLK-EU-ROAD-ACTION');
  });

  it('say nothing of an informal dispute before there is one', () => {
    const dispute = [named('us', 'CLK-US-DISPUTE')];
    expect(claimClocks(dispute, context('US', {})).clocks).toEqual([]);
    expect(claimClocks(dispute, context('US', { 'dispute notified': '2025-02-10' })).clocks[0]?.lastDay).toBe(
      '2025-03-22',
    );
  });
});

describe('warnings', () => {
  const warnings = (changes: Partial<ClockRule>, days: Days): readonly string[] => clockOf(changes, 'US', days).warnsAt;

  it('come at the start of the days that the policy names, at the place, across the change of clocks', () => {
    // Summer time begins on 9 March 2025 in New York: midnight is 05:00Z before and 04:00Z after.
    expect(warnings({ length: 12, warnDays: [1, 7, 0] }, { delivered: '2025-03-03' })).toEqual([
      '2025-03-08T05:00:00Z',
      '2025-03-14T04:00:00Z',
      '2025-03-15T04:00:00Z',
    ]);
  });

  it('leave out what lies before the start, and follow the length where the policy names none', () => {
    expect(warnings({ length: 3, warnDays: [30, 1] }, { delivered: '2025-03-03' })).toEqual(['2025-03-05T05:00:00Z']);
    expect(warnings({ length: 9, unit: 'months' }, { delivered: '2025-01-10' })).toHaveLength(3);
    expect(warnings({ length: 14 }, { delivered: '2025-01-10' })).toHaveLength(2);
    expect(warnings({ length: 0 }, { delivered: '2025-01-10' })).toEqual([]);
  });

  it('of hours come when a quarter is left', () => {
    expect(warnings({ length: 24, unit: 'hours' }, { delivered: '2025-01-10' })).toEqual(['2025-01-11T11:00:00Z']);
  });
});
