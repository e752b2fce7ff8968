import { describe, expect, it } from 'vitest';
import { daysInWords, VERSION_MARKS, versionActs, type PolicyVersionState } from './policy-marks.js';

describe('a version of a policy', () => {
  // The table of docs/policies.md, "Versions".
  it.each([
    ['draft', ['proposal']],
    ['proposed', ['approval', 'rejection']],
    ['approved', ['publication']],
    ['scheduled', ['withdrawal']],
    ['in force', ['withdrawal']],
    ['superseded', []],
    ['withdrawn', []],
  ] as const)('that is %s may be brought further by %j', (state, acts) => {
    expect(versionActs(state)).toEqual(acts);
  });

  it('is told from others by word and by shape, not by colour alone', () => {
    const states = Object.keys(VERSION_MARKS) as PolicyVersionState[];
    expect(new Set(states.map((state) => VERSION_MARKS[state].says)).size).toBe(states.length);
    expect(new Set(states.map((state) => VERSION_MARKS[state].shape)).size).toBe(states.length);
  });

  it('says its days with the last one included, also over the end of a year', () => {
    const plain = (date: string): string => date;
    expect(daysInWords('2026-03-01', undefined, plain)).toBe('from 2026-03-01');
    expect(daysInWords('2026-03-01', '2027-01-01', plain)).toBe('2026-03-01 to 2026-12-31');
  });
});
