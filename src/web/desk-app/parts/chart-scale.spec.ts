import { describe, expect, it } from 'vitest';
import { axisEnd, highestOf, segmentsOf } from './chart-scale.js';

describe('the scale of a chart', () => {
  it.each([
    [0, 1],
    [0.0234, 0.025],
    [0.3, 0.5],
    [1, 1],
    [7, 10],
    [23, 25],
    [25, 25],
    [26, 50],
    [1001, 2000],
    [120_000, 200_000],
  ])('that must show %f ends at %f', (highest, end) => {
    expect(axisEnd(highest)).toBeCloseTo(end, 12);
  });

  it('shows the whole of stacks and of whiskers', () => {
    const rows = [
      { says: 'a', values: [3, null, 4] },
      { says: 'b', values: [1], between: [0.5, 5] as const },
    ];
    expect(highestOf(rows, true)).toBe(7);
    expect(highestOf(rows, false)).toBe(5);
    expect(highestOf([], true)).toBe(0);
  });

  it('stacks what there is without gaps', () => {
    expect(segmentsOf([1, 0, null, 3], 10)).toEqual([
      { series: 0, value: 1, from: 0, width: 10 },
      { series: 3, value: 3, from: 10, width: 30 },
    ]);
  });
});
