import { describe, expect, it } from 'vitest';
import { dueIn, localField, readLocal, showTime, showWindow } from './time-words.js';

describe('times as people read them', () => {
  it('are those of the place, and UTC says so', () => {
    expect(showTime('2026-03-03T17:58:00Z', 'America/Los_Angeles')).toBe('3 Mar 2026, 09:58');
    expect(showTime('2026-03-03T17:58:00Z')).toBe('3 Mar 2026, 17:58 UTC');
    expect(showWindow('2026-03-03T13:00:00Z', '2026-03-03T17:00:00Z', 'America/New_York')).toBe(
      '3 Mar 2026, 08:00 to 12:00',
    );
  });

  // The United States go to summer time on the second Sunday of March: in 2026 on the 8th, at 02:00 local.
  it('come back as the same instant from a form, on both sides of a change of clocks', () => {
    for (const at of ['2026-03-08T06:59:00Z', '2026-03-08T07:00:00Z']) {
      expect(readLocal(localField(at, 'America/New_York'), 'America/New_York')).toBe(at);
    }
    expect(localField('2026-03-08T07:00:00Z', 'America/New_York')).toBe('2026-03-08T03:00');
    expect(readLocal('tomorrow', 'America/New_York')).toBeUndefined();
    expect(readLocal('2026-03-08T03:00', 'Atlantis/Harbour')).toBeUndefined();
  });

  it.each([
    ['2026-03-06T10:00:00Z', 'in 3 days', false, false],
    ['2026-03-04T09:00:00Z', 'in 23 hours', false, true],
    ['2026-03-03T10:01:00Z', 'in 1 minute', false, true],
    ['2026-03-03T08:00:00Z', 'late by 2 hours', true, false],
    ['2026-03-01T09:59:00Z', 'late by 2 days', true, false],
  ])('a deadline at %s is %s', (at, says, late, soon) => {
    expect(dueIn(at, '2026-03-03T10:00:00Z')).toEqual({ says, late, soon });
  });
});
