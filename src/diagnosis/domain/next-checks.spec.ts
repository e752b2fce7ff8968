import { describe, expect, it } from 'vitest';
import { modelOf, OPENER, OPEN_BAR } from '../../../tests/support/evidence-models.js';
import { findings } from './findings.js';
import { nextChecks } from './next-checks.js';

const OPENED = { present: [OPENER], absent: [] };

/**
 * T. M. Mitchell, Machine Learning (1997), chapter 3: fourteen days, nine with tennis; entropy 0.940, gain of Humidity
 * 0.151 and of Wind 0.048 (from memory). His Outlook has three values and a zero count, which this model cannot say.
 */
const TENNIS = modelOf({
  priors: { yes: 9, no: 5 },
  likelihoods: { 'humidity-high': [3 / 9, 4 / 5], 'wind-weak': [6 / 9, 2 / 5] },
});

describe('the next best check', () => {
  it("has the information gain of Mitchell's tennis days", () => {
    expect(findings(TENNIS, OPENED, OPEN_BAR)[0]?.entropyBits).toBeCloseTo(0.94, 3);
    const gains = new Map(nextChecks(TENNIS, OPENED, OPEN_BAR).map((one) => [one.observation, one.expectedBits]));
    // Printed 0.151 and 0.048; 0.1518 unrounded, because the book rounds the entropies first.
    expect(gains.get('humidity-high')).toBeCloseTo(0.1518, 4);
    expect(gains.get('wind-weak')).toBeCloseTo(0.0481, 4);
  });

  it('is ranked by bits per second of effort, not by bits', () => {
    const slow = modelOf({
      priors: { yes: 9, no: 5 },
      likelihoods: { 'humidity-high': [3 / 9, 4 / 5], 'wind-weak': [6 / 9, 2 / 5] },
      effortSeconds: { 'humidity-high': 100, 'wind-weak': 5 },
    });
    expect(nextChecks(slow, OPENED, OPEN_BAR).map((one) => one.observation)).toEqual(['wind-weak', 'humidity-high']);
    expect(nextChecks(slow, OPENED, OPEN_BAR, 1)).toHaveLength(1);
  });

  it('is left out when it is not worth the bits, made already, or would tell nothing', () => {
    expect(nextChecks(TENNIS, OPENED, { ...OPEN_BAR, worthBits: 0.1 }).map((one) => one.observation)).toEqual([
      'humidity-high',
    ]);
    const made = { present: [OPENER, 'humidity-high'], absent: [] };
    expect(nextChecks(TENNIS, made, OPEN_BAR).map((one) => one.observation)).toEqual(['wind-weak']);
    const idle = modelOf({ priors: { yes: 9, no: 5 }, likelihoods: { coin: [0.5, 0.5] } });
    expect(nextChecks(idle, OPENED, { ...OPEN_BAR, worthBits: 0.001 })).toEqual([]);
  });

  it('is not asked for while no finding is open', () => {
    expect(nextChecks(TENNIS, { present: [], absent: ['wind-weak'] }, OPEN_BAR)).toEqual([]);
  });

  it('expects nothing of a sign that a stronger one of its group already drowns out', () => {
    const grouped = modelOf({
      priors: { x: 1, y: 1 },
      likelihoods: { loud: [0.95, 0.05], faint: [0.6, 0.4] },
      groups: { loud: 'g', faint: 'g' },
    });
    const checks = nextChecks(grouped, { present: ['loud'], absent: [] }, { ...OPEN_BAR, worthBits: 1e-6 });
    expect(checks.map((one) => one.observation)).toEqual([]);
  });
});
