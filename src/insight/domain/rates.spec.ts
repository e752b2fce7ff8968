import { describe, expect, it } from 'vitest';
import { rateOf } from './rates.js';

describe('claim rates', () => {
  // Newcombe, Statistics in Medicine 17 (1998), Wilson score intervals of his four examples (from memory, recomputed elsewhere).
  it.each([
    [81, 263, 0.2553, 0.3662],
    [15, 148, 0.0624, 0.1605],
    [0, 20, 0, 0.1611],
    [1, 29, 0.0061, 0.1718],
  ])('%i of %i lies between %f and %f', (count, of, low, high) => {
    const rate = rateOf(count, of);
    expect(rate?.low).toBeCloseTo(low, 4);
    expect(rate?.high).toBeCloseTo(high, 4);
  });

  it('clamps at both ends and says nothing of nothing', () => {
    expect(rateOf(0, 5)?.low).toBe(0);
    expect(rateOf(5, 5)?.high).toBe(1);
    expect(rateOf(0, 0)).toBeUndefined();
    expect(() => rateOf(3, 2)).toThrow(RangeError);
  });
});
