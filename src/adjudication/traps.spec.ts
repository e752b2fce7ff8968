import { describe, expect, it } from 'vitest';
import { shippedPolicy } from '../../tests/support/shipped-policy.js';
import { cohensKappa, shareOf } from '../diagnosis/learning.contract.js';
import type { ClockRule } from '../policies/policies.contract.js';
import { clockEnd } from './domain/claim-clocks.js';

/**
 * Mistakes that programs of this kind make again and again, one test each. What belongs to photographs, digests and handling is tested
 * beside those modules; docs/decisions has the list.
 */

const HOLIDAYS_2025 = new Set(['2025-05-26', '2025-07-04', '2025-09-01', '2025-11-11', '2025-11-27', '2025-12-25']);

function lastDay(rule: Partial<ClockRule>, length: number, startedAt: string): string {
  const place = {
    startedAt: `${startedAt}T12:00:00Z`,
    zone: 'UTC',
    isHoliday: (on: Temporal.PlainDate) => HOLIDAYS_2025.has(on.toString()),
  };
  return clockEnd({ unit: 'calendar days', ...rule }, length, place).lastDay.toString();
}

describe('two meanings of business day', () => {
  // Friday before Memorial Day 2025. 16 CFR 429.0: any day but Sunday and federal holidays. NMF 100, Item 300135: Monday to Friday.
  it('are kept apart: three from 2025-05-23 end on the Wednesday with Saturdays and on the Thursday without', () => {
    const rule = { unit: 'business days' } as const;
    expect(lastDay({ ...rule, week: 'monday to saturday' }, 3, '2025-05-23')).toBe('2025-05-28');
    expect(lastDay({ ...rule, week: 'monday to friday' }, 3, '2025-05-23')).toBe('2025-05-29');
  });

  it('are named by the shipped clocks: CMR art. 30(1) counts Saturdays, the freight classification does not', () => {
    const weekOf = (policy: 'us' | 'eu' | 'uk', id: string) =>
      shippedPolicy(policy).document.clocks?.find((clock) => clock.id === id)?.week;
    expect(weekOf('us', 'CLK-US-CONCEALED')).toBe('monday to friday');
    expect(weekOf('eu', 'CLK-EU-ROAD-NOTICE')).toBe('monday to saturday');
    expect(weekOf('uk', 'CLK-UK-ROAD-NOTICE')).toBe('monday to saturday');
  });
});

describe('the first day', () => {
  it('counts or does not: s.20(15) of the Consumer Rights Act 2015 begins with the day, art. 13 of Directive 2011/83/EU after it', () => {
    expect(lastDay({ inclusive: true }, 14, '2025-05-01')).toBe('2025-05-14');
    expect(lastDay({ inclusive: false }, 14, '2025-05-01')).toBe('2025-05-15');
  });
});

describe('months', () => {
  it('are clamped to their end: nine from 31 May 2025 end on 28 February (49 U.S.C. 14706(e)(1))', () => {
    expect(lastDay({ unit: 'months' }, 9, '2025-05-31')).toBe('2026-02-28');
    expect(lastDay({ unit: 'months' }, 12, '2024-02-29')).toBe('2025-02-28');
  });
});

describe('a late notice', () => {
  const lapses = (['us', 'eu', 'uk'] as const).flatMap((policy) =>
    (shippedPolicy(policy).document.clocks ?? []).map(({ id, lapse }) => [id, lapse] as const),
  );
  const of = (end: string): string[] => [
    ...new Set(lapses.filter(([id]) => id.endsWith(end)).map(([, lapse]) => lapse)),
  ];

  it('shifts the burden under CMR art. 30(1), Hague-Visby art. III r. 6 and Item 300135, and bars nothing', () => {
    const ends = ['ROAD-NOTICE', 'SEA-NOTICE', 'CONCEALED', 'NOTATION'];
    expect(ends.map((end) => [end, of(end)])).toEqual(ends.map((end) => [end, ['burden shifts']]));
  });

  it('bars the claim under the Montreal Convention art. 31', () => {
    expect(of('AIR-NOTICE')).toEqual(['barred']);
  });
});

describe('degenerate figures', () => {
  it('are undefined rather than NaN: kappa where chance always agrees, a share of nothing', () => {
    expect(cohensKappa([{ row: 'a', column: 'a', count: 30 }])).toBeUndefined();
    expect(shareOf(0, 0)).toBeUndefined();
  });

  it('keep their limits inside 0 and 1 where nothing or everything counts', () => {
    expect(shareOf(0, 20)).toMatchObject({ share: 0, low: 0 });
    expect(shareOf(20, 20)).toMatchObject({ share: 1, high: 1 });
  });
});
