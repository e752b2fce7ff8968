import { describe, expect, it } from 'vitest';
import { bad, good, pointer } from './outcome.js';

describe('outcomes', () => {
  it('are good with a value or bad with at least one fault', () => {
    expect(good(1)).toEqual({ ok: true, value: 1 });
    expect(bad({ pointer: '#/a', detail: 'x' })).toEqual({ ok: false, faults: [{ pointer: '#/a', detail: 'x' }] });
    expect(() => bad()).toThrow(RangeError);
  });

  // RFC 6901 section 5: keys of the example document with their pointers.
  it.each([
    ['foo', '#/foo'],
    [0, '#/0'],
    ['', '#/'],
    ['a/b', '#/a~1b'],
    ['m~n', '#/m~0n'],
    ['~1', '#/~01'],
  ])('the step %j makes %s', (step, expected) => {
    expect(pointer('#', step)).toBe(expected);
  });
});
