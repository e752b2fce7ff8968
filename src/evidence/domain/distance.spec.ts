import { describe, expect, it } from 'vitest';
import { metresBetween } from './distance.js';

describe('the distance between two places', () => {
  // Worked example of R. W. Sinnott's haversine as Chris Veness prints it: 50°03′59″N 5°42′53″W to 58°38′38″N 3°04′12″W is 968.9 km
  // (from memory; with R = 6,371 km).
  it('is that of the worked example', () => {
    const a = { latitude: 50 + 3 / 60 + 59 / 3600, longitude: -(5 + 42 / 60 + 53 / 3600) };
    const b = { latitude: 58 + 38 / 60 + 38 / 3600, longitude: -(3 + 4 / 60 + 12 / 3600) };
    expect(metresBetween(a, b) / 1000).toBeCloseTo(968.9, 1);
  });

  it('is a quarter of the circle from the pole to the equator, and half of it to the other side', () => {
    const quarter = (Math.PI / 2) * 6_371_008.8;
    expect(metresBetween({ latitude: 90, longitude: 12 }, { latitude: 0, longitude: -70 })).toBeCloseTo(quarter, 3);
    expect(metresBetween({ latitude: 0, longitude: 0 }, { latitude: 0, longitude: 180 })).toBeCloseTo(2 * quarter, 3);
  });

  it('is short across the date line, the same both ways, and nothing to itself', () => {
    const [a, b] = [
      { latitude: 10, longitude: 179.999 },
      { latitude: 10, longitude: -179.999 },
    ];
    expect(metresBetween(a, b)).toBeLessThan(250);
    expect(metresBetween(a, b)).toBeCloseTo(metresBetween(b, a), 6);
    expect(metresBetween(a, a)).toBe(0);
  });
});
