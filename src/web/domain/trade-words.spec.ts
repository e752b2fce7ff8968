import { describe, expect, it } from 'vitest';
import { remediesInWords } from './trade-words.js';

describe('remedies in words', () => {
  it('say nothing only where nothing else is given', () => {
    expect(remediesInWords(['none', 'part'])).toBe('Part');
    expect(remediesInWords(['none'])).toBe('Nothing');
    expect(remediesInWords(['unit', 'unit'])).toBe('Replacement unit');
    expect(remediesInWords([])).toBe('');
  });
});
