import { describe, expect, it } from 'vitest';
import { ageBand, monthsFrom, openByBand, overridesOf, yieldsOf } from './figures.js';

describe('figures', () => {
  it.each([
    [-1, 'under a day'],
    [0, 'under a day'],
    [1, '1 to 2 days'],
    [2, '1 to 2 days'],
    [3, '3 to 6 days'],
    [7, '7 to 13 days'],
    [13, '7 to 13 days'],
    [14, '14 to 29 days'],
    [29, '14 to 29 days'],
    [30, '30 days and more'],
    [400, '30 days and more'],
  ])('an age of %i days is %s', (days, band) => {
    expect(ageBand(days)).toBe(band);
  });

  it('put cases of the same age and state together', () => {
    expect(
      openByBand([
        { state: 'proposed', days: 3, count: 2 },
        { state: 'proposed', days: 6, count: 1 },
        { state: 'filed', days: 6, count: 4 },
      ]),
    ).toEqual([
      { band: '3 to 6 days', state: 'proposed', count: 3 },
      { band: '3 to 6 days', state: 'filed', count: 4 },
    ]);
  });

  // Bounds of 15 of 148 and of 1 of 29: Newcombe, Statistics in Medicine 17 (1998), as in rates.spec.ts. One of one has a bound of 0.2065
  // (1 / (1 + z²), the Wilson bound at a whole share).
  it('put the rule first of which it is surest, not the one with the highest share', () => {
    const rows = [
      { policy: 'us', rule: 'b', overridden: 15, decisions: 148 },
      { policy: 'us', rule: 'a', overridden: 1, decisions: 29 },
      { policy: 'us', rule: 'c', overridden: 1, decisions: 1 },
      { policy: 'us', rule: 'd', overridden: 90, decisions: 100 },
    ];
    const found = overridesOf(rows);
    expect(found.map(({ rule }) => rule)).toEqual(['d', 'c', 'b', 'a']);
    expect(found[1]?.low).toBeCloseTo(0.2065, 4);
    expect(found[2]?.low).toBeCloseTo(0.0624, 4);
  });

  it('count a check by what it moved', () => {
    const same = { model: 'bed-base', says: 'x', present: 1, notChecked: 0, meanDecibans: 2 };
    const found = yieldsOf([
      { ...same, observation: 'seldom', moved: 1, seen: 29 },
      { ...same, observation: 'often', moved: 81, seen: 263 },
    ]);
    expect(found.map(({ observation, count, of }) => [observation, count, of])).toEqual([
      ['often', 81, 263],
      ['seldom', 1, 29],
    ]);
  });

  it('go through months over the end of a year', () => {
    expect(monthsFrom('2025-11', '2026-02')).toEqual(['2025-11', '2025-12', '2026-01', '2026-02']);
    expect(monthsFrom('2026-02', '2026-01')).toEqual([]);
  });
});
