import { describe, expect, it } from 'vitest';
import { aClaimFile } from '../../../tests/support/claim-file.js';
import { holidaysOf } from '../../platform/calendar/holidays.js';
import type { ClaimFile } from '../adjudication.contract.js';
import { businessDaysBetween, claimDates, claimFacts, conditionBeforeCarrier } from './claim-facts.js';

const facts = (changes: Partial<ClaimFile> = {}) => {
  const claim = aClaimFile(changes);
  return claimFacts(claim, claimDates(claim), false, holidaysOf('US'));
};
const on = (text: string): Temporal.PlainDate => Temporal.PlainDate.from(text);

describe('facts of a claim', () => {
  it('count days to notice in the dates of the place', () => {
    // 23:00 on the 4th to 01:00 on the 6th in New York; in UTC both lie one day later.
    const events = { delivered: '2026-03-05T04:00:00Z', 'notice to carrier': '2026-03-06T06:00:00Z' };
    expect(facts({ events })).toMatchObject({ 'delivered on': '2026-03-04', 'days to notice': 2 });
  });

  it('know that nobody told the carrier, also when somebody will', () => {
    const { delivered, 'notice to carrier': _told, ...events } = aClaimFile().events;
    expect(facts({ events: { ...events, ...(delivered && { delivered }) } })).toMatchObject({
      'days to notice': null,
      'business days to notice': null,
    });
    expect(facts({ asOf: '2026-03-04T12:00:00-05:00' })['days to notice']).toBeNull();
  });

  it('leave out what nobody knows', () => {
    const claim = aClaimFile({ stepsFollowed: null });
    const found = claimFacts(claim, claimDates(claim), false, holidaysOf('ZZ'));
    expect(found).not.toHaveProperty('steps followed');
    expect(found).not.toHaveProperty('business days to notice');
    expect(facts({ stepsFollowed: false })['steps followed']).toBe(false);
  });

  it.each([
    ['clean', false],
    ['no signature', false],
    ['exceptions noted', true],
    ['refused', true],
  ] as const)('take a receipt that is %s as noted: %s', (receipt, noted) => {
    expect(facts({ delivery: { ...aClaimFile().delivery, receipt } })['noted']).toBe(noted);
  });

  it('count the age in completed months to the day of noticing, and days to the day of filing', () => {
    const events = {
      delivered: '2025-01-31T12:00:00-05:00',
      noticed: '2025-02-28T12:00:00-05:00',
      filed: '2025-03-02T12:00:00-05:00',
    };
    expect(facts({ events })).toMatchObject({ 'age months': 0, 'days since delivery': 30 });
  });

  it('carry the price as decimal text', () => {
    expect(facts()['price paid']).toBe('899.90');
  });
});

describe('business days to notice', () => {
  // NMFC item 300135 counts 5 business days after delivery: its last day is day 5.
  it.each([
    ['2025-07-03', '2025-07-11', 5],
    ['2025-07-03', '2025-07-14', 6],
    ['2025-11-26', '2025-12-04', 5],
    ['2025-12-22', '2025-12-30', 5],
    ['2025-07-03', '2025-07-03', 0],
    ['2025-07-03', '2025-07-06', 0],
  ])('from %s to %s are %i', (from, to, days) => {
    expect(businessDaysBetween(on(from), on(to), holidaysOf('US'))).toBe(days);
  });
});

describe('the condition before the carrier took over', () => {
  const stage = (
    stage: ClaimFile['delivery']['custody'][number]['stage'],
    party: 'maker' | 'seller' | 'carrier',
    condition: 'clean' | 'exceptions',
  ) => ({
    stage,
    party,
    condition,
  });

  it('is that of the last record before the first one of the carrier, in the order of custody', () => {
    const custody = [
      stage('line haul', 'carrier', 'exceptions'),
      stage('stored', 'seller', 'exceptions'),
      stage('packed', 'maker', 'clean'),
    ];
    expect(conditionBeforeCarrier(custody)).toBe('exceptions');
    expect(conditionBeforeCarrier(custody.toSpliced(1, 1))).toBe('clean');
  });

  it('is not known where the carrier is first or nobody kept a record', () => {
    expect(conditionBeforeCarrier([stage('line haul', 'carrier', 'clean')])).toBe('not known');
    expect(conditionBeforeCarrier([])).toBe('not known');
  });

  it('is that of the last record before carriage where no carrier is on record', () => {
    expect(
      conditionBeforeCarrier([stage('packed', 'maker', 'exceptions'), stage('last mile', 'seller', 'clean')]),
    ).toBe('exceptions');
  });
});
