import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { holdsOn, overlap, place, takeOff, type Days, type Period } from './periods.js';

const period = (version: number, from: string, to: string | null): Period => ({
  id: `row ${version} ${from}`,
  versionId: `v${version}`,
  version,
  from,
  to,
});
const shown = (list: readonly Omit<Period, 'id'>[]) => list.map(({ version, from, to }) => [version, from, to]);

describe('a version on the calendar', () => {
  it('holds from its day on, and what held until then ends the day before', () => {
    const { days, superseded, left } = place([period(1, '2024-01-01', null)], { from: '2026-03-01', to: null });
    expect(days).toEqual({ from: '2026-03-01', to: null });
    expect(shown(superseded)).toEqual([[1, '2024-01-01', null]]);
    expect(shown(left)).toEqual([[1, '2024-01-01', '2026-03-01']]);
  });

  it('leaves a later version alone unless it says until when it holds', () => {
    const live = [period(1, '2024-01-01', '2026-03-01'), period(2, '2026-03-01', null)];
    expect(place(live, { from: '2025-06-01', to: null })).toMatchObject({
      days: { from: '2025-06-01', to: '2026-03-01' },
    });
    const told = place(live, { from: '2025-06-01', to: '2026-06-01' });
    expect(shown(told.superseded).map(([version]) => version)).toEqual([1, 2]);
    expect(shown(told.left)).toEqual([
      [1, '2024-01-01', '2025-06-01'],
      [2, '2026-06-01', null],
    ]);
  });

  it('splits one that holds before and after it', () => {
    const { left } = place([period(1, '2024-01-01', null)], { from: '2025-01-01', to: '2025-02-01' });
    expect(shown(left)).toEqual([
      [1, '2024-01-01', '2025-01-01'],
      [1, '2025-02-01', null],
    ]);
  });

  it('that is taken off gives its days back to what held before it', () => {
    const live = [period(1, '2024-01-01', '2026-03-01'), period(2, '2026-03-01', null)];
    const { superseded, left } = takeOff(live, 2, [period(1, '2024-01-01', null)]);
    expect(shown(superseded)).toEqual([[2, '2026-03-01', null]]);
    expect(shown(left)).toEqual([[1, '2026-03-01', null]]);
    expect(shown(takeOff(live, 2, []).left)).toEqual([]);
  });

  it('never shares a day with another, and holds on exactly its own days, whatever was there', () => {
    const day = fc.integer({ min: 1, max: 28 }).map((n) => `2026-02-${String(n).padStart(2, '0')}`);
    const wanted = fc
      .tuple(day, fc.option(day))
      .map(([a, b]): Days =>
        b === null || b === a ? { from: a, to: null } : { from: a < b ? a : b, to: a < b ? b : a },
      );
    fc.assert(
      fc.property(fc.array(wanted, { minLength: 1, maxLength: 8 }), (all) => {
        let live: Period[] = [];
        const holder = new Map<string, number>();
        for (const [index, one] of all.entries()) {
          const { days, superseded, left } = place(live, one);
          live = [
            ...live.filter((other) => !superseded.includes(other)),
            ...[...left, { versionId: `v${index}`, version: index, ...days }].map((each) => ({
              ...each,
              id: `${index} ${each.version} ${each.from}`,
            })),
          ];
          for (let n = 1; n <= 28; n += 1) {
            const on = `2026-02-${String(n).padStart(2, '0')}`;
            if (holdsOn(days, on)) holder.set(on, index);
          }
        }
        for (const [a, one] of live.entries())
          for (const other of live.slice(a + 1)) expect(overlap(one, other)).toBe(false);
        for (let n = 1; n <= 28; n += 1) {
          const on = `2026-02-${String(n).padStart(2, '0')}`;
          expect(live.find((one) => holdsOn(one, on))?.version).toBe(holder.get(on));
        }
      }),
    );
  });
});
