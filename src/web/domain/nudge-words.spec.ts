import { describe, expect, it } from 'vitest';
import { ENGLISH } from '../crew-app/words/english.js';
import { SPANISH } from '../crew-app/words/spanish.js';
import { clockWords, heldWords, nudgeWords } from './nudge-words.js';

describe('a message to a crew whose phone holds something', () => {
  it('names what is held, the order and the link, and ends where the crew’s app says that all is sent', () => {
    const { en, es } = nudgeWords(
      { photosOwed: 3, factsOwed: 1, order: 'PS-9' },
      'https://claims.example.test/visit#x',
    );
    for (const message of [en, es]) {
      expect(message).toContain('PS-9');
      expect(message.endsWith('https://claims.example.test/visit#x')).toBe(true);
    }
    expect(en).toContain('3 photos and 1 note.');
    expect(es).toContain('3 fotos y 1 nota.');
    expect(en).toContain(ENGLISH.allSent);
    expect(es).toContain(SPANISH.allSent);
  });

  it.each([
    [{ photosOwed: 1, factsOwed: 0 }, '1 photo'],
    [{ photosOwed: 0, factsOwed: 2 }, '2 notes'],
    [{ photosOwed: 0, factsOwed: 0 }, 'nothing'],
  ])('%j is %s', (held, says) => {
    expect(heldWords(held)).toBe(says);
  });

  it.each([
    [600, undefined],
    [-600, undefined],
    [601, '10 minutes ahead'],
    [-5400, '90 minutes behind'],
    [10_800, '3 hours ahead'],
  ])('a clock that is off by %i seconds is %s', (seconds, says) => {
    expect(clockWords(seconds)).toBe(says);
  });
});
