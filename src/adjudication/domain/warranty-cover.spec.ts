import { describe, expect, it } from 'vitest';
import { secondPersonLimit, takesSecondPerson } from './second-person.js';
import { warrantyCover, warrantyTerm } from './warranty-cover.js';

const motor = { component: 'motor', fullMonths: 24, proRataMonths: 36 } as const;

describe('warranty cover', () => {
  it.each([
    [0, 'full'],
    [23, 'full'],
    [24, 'pro rata'],
    [59, 'pro rata'],
    [60, 'expired'],
    [600, 'expired'],
  ])('at %i completed months is %s', (age, cover) => {
    expect(warrantyCover(motor, age)).toBe(cover);
  });

  it('is none for a component that the warranty does not name, and for no component', () => {
    expect(warrantyCover(warrantyTerm([motor], 'leg'), 0)).toBe('none');
    expect(warrantyCover(warrantyTerm([motor], null), 0)).toBe('none');
    expect(warrantyCover(warrantyTerm([motor], 'motor'), 0)).toBe('full');
  });
});

describe('the second person', () => {
  it('is needed above the limit and not on it', () => {
    const limit = secondPersonLimit('500', 'USD') ?? 0;
    expect(takesSecondPerson(50_000, limit)).toBe(false);
    expect(takesSecondPerson(50_001, limit)).toBe(true);
  });

  it('has its limit in minor units of the currency, cut downwards', () => {
    expect(secondPersonLimit('500.50', 'USD')).toBe(50_050);
    expect(secondPersonLimit('500.509', 'USD')).toBe(50_050);
    expect(secondPersonLimit('60000', 'JPY')).toBe(60_000);
    expect(secondPersonLimit('150.5', 'KWD')).toBe(150_500);
  });

  it('has no limit where the policy gives none that can be read', () => {
    expect(secondPersonLimit(undefined, 'USD')).toBeUndefined();
    expect(secondPersonLimit('-1', 'USD')).toBeUndefined();
    expect(secondPersonLimit('1', 'XXX')).toBeUndefined();
  });
});
