import { describe, expect, it } from 'vitest';
import { cameraOf, cleanText } from './camera.js';

describe('camera text', () => {
  it('loses NULs, control characters and extra space', () => {
    expect(cameraOf({ make: 'Halde\u0000\u0000', model: '  Halde\t 3 \u0007', software: '3.1' })).toEqual({
      make: 'Halde',
      model: 'Halde 3',
      software: '3.1',
    });
  });

  it.each([[''], ['\u0000\u0001\u0002'], ['\ufffd\ufffd'], ['   '], ['---'], [12], [null], [new Uint8Array(3)]])(
    'is absent for %j',
    (value) => {
      expect(cleanText(value)).toBeUndefined();
      expect(cameraOf({ make: value })).toEqual({});
    },
  );

  it('is bounded, also when it is very long, and never splits a character', () => {
    expect(cleanText('x'.repeat(1_000_000))).toHaveLength(100);
    expect(Array.from(cleanText('𝄞a'.repeat(200)) ?? '')).toHaveLength(100);
  });

  it('keeps no character that turns the direction of text', () => {
    expect(cleanText('a\u202egpj.exe')).toBe('a gpj.exe');
  });
});
