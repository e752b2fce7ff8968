import { describe, expect, it } from 'vitest';
import { returnWindow } from './return-window.js';

const easter2025 = ['2025-04-18', '2025-04-21'];
const isHoliday = (on: Temporal.PlainDate): boolean => easter2025.includes(on.toString());
const day = (text: string): Temporal.PlainDate => Temporal.PlainDate.from(text);

describe('the window for a change of mind', () => {
  it('rolls off Good Friday and Easter Monday (Directive 2011/83/EU art. 9 with Regulation 1182/71)', () => {
    const rule = { days: 14, rolls: true, isHoliday };
    expect(returnWindow(day('2025-04-04'), day('2025-04-22'), rule)).toEqual({ open: true, lastDay: '2025-04-22' });
    expect(returnWindow(day('2025-04-04'), day('2025-04-23'), rule).open).toBe(false);
  });

  it('does not roll where the regime does not say so', () => {
    expect(returnWindow(day('2025-04-04'), day('2025-04-19'), { days: 14, rolls: false, isHoliday })).toEqual({
      open: false,
      lastDay: '2025-04-18',
    });
  });
});
