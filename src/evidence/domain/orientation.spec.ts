import { describe, expect, it } from 'vitest';
import { orientationOf, uprightSize } from './orientation.js';

// The %orientation table of ExifTool's Exif.pm, in its own words. "Mirror vertical" is the same as mirror horizontal and rotate 180.
const TABLE = [
  [1, 'Horizontal (normal)', false, 0],
  [2, 'Mirror horizontal', true, 0],
  [3, 'Rotate 180', false, 180],
  [4, 'Mirror vertical', true, 180],
  [5, 'Mirror horizontal and rotate 270 CW', true, 270],
  [6, 'Rotate 90 CW', false, 90],
  [7, 'Mirror horizontal and rotate 90 CW', true, 90],
  [8, 'Rotate 270 CW', false, 270],
] as const;

describe('Exif orientation', () => {
  it.each(TABLE)('%i means: %s', (tag, _words, mirrored, clockwiseDegrees) => {
    expect(orientationOf(tag)).toEqual({ tag, mirrored, clockwiseDegrees });
  });

  it.each([0, 9, -1, 1.5, '6', null, undefined])('%j means upright', (tag) => {
    expect(orientationOf(tag).tag).toBe(1);
  });

  it('swaps the sides for 5 to 8 only', () => {
    const stored = { width: 4032, height: 3024 };
    for (const [tag] of TABLE) {
      expect(uprightSize(stored, orientationOf(tag))).toEqual(
        tag >= 5 ? { width: 3024, height: 4032 } : { width: 4032, height: 3024 },
      );
    }
  });
});
