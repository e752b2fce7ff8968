import fc from 'fast-check';
import { mean, sampleCovariance, variance } from 'simple-statistics';
import { describe, expect, it } from 'vitest';
import { BrierTally } from './brier-tally.js';

function tallyOf(forecasts: readonly (readonly [number, boolean])[]): BrierTally {
  const tally = new BrierTally();
  for (const [forecast, cameTrue] of forecasts) tally.add(forecast, cameTrue);
  return tally;
}

function times(count: number, forecast: number, cameTrue: boolean): [number, boolean][] {
  return Array.from({ length: count }, () => [forecast, cameTrue]);
}

describe('the Brier score', () => {
  // G. W. Brier, Monthly Weather Review 78 (1950), in its form for two outcomes; the figures were worked out by hand.
  it('of six forecasts is 0.18667', () => {
    const found = tallyOf([
      [0.9, true],
      [0.7, true],
      [0.3, false],
      [0.2, false],
      [0.8, false],
      [0.5, true],
    ]).parts();
    expect(found?.score).toBeCloseTo(0.18667, 5);
  });

  it.each([
    [0.7, true, 0.09],
    [0.3, true, 0.49],
    [0.5, false, 0.25],
  ])('of the one forecast %f, came true %s, is %f', (forecast, cameTrue, expected) => {
    expect(tallyOf([[forecast, cameTrue]]).parts()?.score).toBeCloseTo(expected, 12);
  });

  it('comes apart exactly for grouped forecasts (Murphy, Journal of Applied Meteorology 12, 1973)', () => {
    const found = tallyOf([
      ...times(7, 0.8, true),
      ...times(3, 0.8, false),
      ...times(3, 0.2, true),
      ...times(7, 0.2, false),
    ]).parts();
    expect(found?.reliability).toBeCloseTo(0.01, 12);
    expect(found?.resolution).toBeCloseTo(0.04, 12);
    expect(found?.uncertainty).toBeCloseTo(0.25, 12);
    expect(found?.score).toBeCloseTo(0.22, 12);
    expect(found?.withinBins).toBeCloseTo(0, 12);
  });

  it('comes apart with what is left within bins for any forecasts, each part as simple-statistics has it', () => {
    const forecast = fc.tuple(fc.double({ min: 0, max: 1, noNaN: true }), fc.boolean());
    fc.assert(
      fc.property(fc.array(forecast, { minLength: 1, maxLength: 60 }), (forecasts) => {
        const found = tallyOf(forecasts).parts();
        if (found === undefined) throw new Error('no parts');
        const { score, reliability, resolution, uncertainty, withinBins } = found;
        expect(reliability - resolution + uncertainty + withinBins).toBeCloseTo(score, 12);
        const outcomes = forecasts.map(([, cameTrue]) => Number(cameTrue));
        expect(score).toBeCloseTo(mean(forecasts.map(([f], i) => (f - (outcomes[i] ?? 0)) ** 2)), 12);
        expect(uncertainty).toBeCloseTo(variance(outcomes), 12);
        const bins = Object.values(Object.groupBy(forecasts, ([f]) => Math.min(9, Math.floor(f * 10))));
        const left = bins.map((bin = []) => {
          const [f, o] = [bin.map(([each]) => each), bin.map(([, cameTrue]) => Number(cameTrue))];
          const covariance = bin.length < 2 ? 0 : (sampleCovariance(f, o) * (bin.length - 1)) / bin.length;
          return bin.length * (variance(f) - 2 * covariance);
        });
        expect(withinBins).toBeCloseTo(left.reduce((sum, one) => sum + one, 0) / forecasts.length, 10);
      }),
    );
  });

  it('puts 1 into the last bin, leaves empty bins out and has nothing to say of nothing', () => {
    const tally = tallyOf([
      [1, true],
      [0.9, false],
      [0.3, true],
    ]);
    expect(tally.rows()).toMatchObject([
      { from: 0.3, to: 0.4, cases: 1, meanForecast: 0.3, cameTrue: { count: 1 } },
      { from: 0.9, to: 1, cases: 2, meanForecast: 0.95, cameTrue: { count: 1, of: 2, share: 0.5 } },
    ]);
    expect(new BrierTally().parts()).toBeUndefined();
    expect(new BrierTally().rows()).toEqual([]);
    expect(() => new BrierTally().add(1.1, true)).toThrow(RangeError);
  });
});
