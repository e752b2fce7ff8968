import { describe, expect, it } from 'vitest';
import { codeFor } from './new-code.js';

describe('a code for words', () => {
  it.each([
    ['Bent on the way, by a fork', 'bent-on-the-way-by-a-fork'],
    ['  2 Ñandú legs!', 'nandu-legs'],
    ['???', 'new'],
    ['taken', 'taken-3'],
  ])('%j is %j', (words, code) => {
    expect(codeFor(words, ['taken', 'taken-2'])).toBe(code);
  });

  it('is never longer than the format takes', () => {
    expect(codeFor('word '.repeat(60), []).length).toBeLessThanOrEqual(80);
  });
});
