import { describe, expect, it } from 'vitest';
import { positionOf } from './position.js';

const at = (latitude: number[], longitude: number[] = [10, 0, 0]) =>
  positionOf({ latitude, latitudeRef: 'N', longitude, longitudeRef: 'E' });

describe('the position of a photo', () => {
  it('is degrees + minutes/60 + seconds/3600, north and east positive', () => {
    // 50° 17′ 58.57″ N is the example of the exifr README.
    const position = at([50, 17, 58.57]);
    expect(position).toMatchObject({ longitude: 10 });
    expect(typeof position === 'string' ? Number.NaN : position.latitude).toBeCloseTo(50.299602777, 8);
  });

  it('turns the sign in the south and the west', () => {
    // 40° 26′ 46.32″ = 40.4462 and 79° 58′ 56.16″ = 79.982267 by hand.
    const position = positionOf({
      latitude: [40 / 1, 26 / 1, 4632 / 100],
      latitudeRef: 'S',
      longitude: [79 / 1, 58 / 1, 5616 / 100],
      longitudeRef: 'w',
      errorMetres: 4.5,
    });
    if (typeof position === 'string') throw new Error(position);
    expect(position.latitude).toBeCloseTo(-40.4462, 6);
    expect(position.longitude).toBeCloseTo(-79.982267, 6);
    expect(position.errorMetres).toBe(4.5);
  });

  it('reaches the pole but not beyond', () => {
    expect(at([90, 0, 0])).toMatchObject({ latitude: 90 });
    expect(at([90, 0, 1])).toBe('out of range');
    expect(at([10, 0, 0], [180, 0, 0.01])).toBe('out of range');
  });

  it.each([
    ['unreadable', { latitude: [1 / 0, 0, 0] }],
    ['unreadable', { latitude: [0 / 0, 0, 0] }],
    ['unreadable', { latitude: [50, 17] }],
    ['out of range', { latitude: [50, 60, 0] }],
    ['out of range', { latitude: [-50, 0, 0] }],
    ['no reference', { latitudeRef: undefined }],
    ['no reference', { longitudeRef: '\u0000' }],
    ['no reference', { latitudeRef: 'E' }],
    ['none recorded', { longitude: undefined }],
    ['zero', { latitude: [0, 0, 0], longitude: [0, 0, 0] }],
  ] as const)('is refused as %s for %j', (reason, change) => {
    const good = { latitude: [50, 17, 58], latitudeRef: 'N', longitude: [10, 0, 0], longitudeRef: 'E' };
    const raw = Object.fromEntries(Object.entries({ ...good, ...change }).filter(([, value]) => value !== undefined));
    expect(positionOf(raw)).toBe(reason);
  });
});
