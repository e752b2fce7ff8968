import { describe, expect, it } from 'vitest';
import { answerWords, unitWords } from './walk-view.js';

const PEOPLE = {
  id: 'crew-size',
  ask: { en: 'How many?' },
  answer: { type: 'number', unit: 'people', min: 1, max: 9 },
} as const;

describe('answers in words', () => {
  it('say how many people in the language of the screen', () => {
    expect(answerWords(PEOPLE, 1, 'en')).toBe('1 person');
    expect(answerWords(PEOPLE, 2, 'en')).toBe('2 people');
    expect(answerWords(PEOPLE, 1, 'es')).toBe('1 persona');
    expect(answerWords(PEOPLE, 2, 'es')).toBe('2 personas');
    expect(unitWords('people', 'es')).toBe('personas');
  });

  // Symbols of units are the same in every language: SI Brochure, 9th edition (2019), section 5.2.
  it('leave symbols as they are', () => {
    expect(answerWords({ ...PEOPLE, answer: { ...PEOPLE.answer, unit: 'mm' } }, 1, 'es')).toBe('1 mm');
  });
});
