import { describe, expect, it } from 'vitest';
import { standsAt, DECISION_OUTCOMES } from '../../claims/claims.contract.js';
import { GROUNDS, REMEDIES } from '../../kernel/vocabulary.js';
import { letterContent, type LetterSubject } from './letter.js';
import { LETTER_LANGS, letterDay } from './letter-words.js';

const SUBJECT: LetterSubject = {
  number: '482177305',
  retailer: 'Pellow Beds',
  address: '12 Quay Street\nTruro',
  house: 'Marlow and Finch',
  orderReference: 'A-1001',
  model: 'Kestrel 160',
  serial: 'KR20260117',
  ground: 'damage',
  filedAt: '2026-03-02T10:00:00Z',
  currency: 'USD',
  zone: 'America/New_York',
  letter: {
    n: 1,
    outcome: 'approved',
    remedies: ['part', 'allowance', 'part'],
    totalMinor: 80_916,
    at: '2026-03-05T03:00:00Z',
    replaced: false,
  },
};
const withLetter = (change: Partial<LetterSubject['letter']>): LetterSubject => ({
  ...SUBJECT,
  letter: { ...SUBJECT.letter, ...change },
});
const allOf = (content: ReturnType<typeof letterContent>): string => JSON.stringify(content);

describe('a letter', () => {
  it('says what was decided, what it gives and what comes next, dated where the goods are', () => {
    const content = letterContent(SUBJECT, 'en');
    expect(content).toMatchObject({
      title: 'Decision on claim 482\u00a0177\u00a0305',
      date: '4 March 2026',
      to: ['To Pellow Beds', '12 Quay Street', 'Truro'],
      outcome: 'The claim is approved.',
      gives: ['Your customer gets: a part, an allowance on the price.', 'Money that is paid: 809.16 USD.'],
      words: undefined,
      replaced: undefined,
      from: ['The claims desk', 'Marlow and Finch'],
    });
    expect(content.next[0]).toMatch(/^The remedy will be ordered/);
  });

  it('agrees with what the page of the claim says comes next', () => {
    for (const outcome of DECISION_OUTCOMES) {
      const { next } = standsAt('decided', outcome, null, null);
      expect(letterContent(withLetter({ outcome }), 'en').next[0]).toContain(next);
    }
  });

  it('gives nothing where it declines, and nothing comes next where it was replaced', () => {
    const declined = letterContent(withLetter({ outcome: 'declined', remedies: ['none'], totalMinor: 0 }), 'es');
    expect(declined.gives).toEqual(['Por esta reclamación no se entrega ni se paga nada.']);
    const replaced = letterContent(withLetter({ replaced: true }), 'en');
    expect([replaced.next, replaced.replaced?.title]).toEqual([
      [],
      'A later decision has taken the place of this one.',
    ]);
  });

  it('says that no money is paid where a part is all that is given', () => {
    const part = withLetter({ remedies: ['part'], totalMinor: 0 });
    expect(letterContent(part, 'en').gives).toEqual(['Your customer gets: a part.', 'No money is paid with it.']);
  });

  it('has the desk’s words in its own language, or in the other one and says so', () => {
    const both = withLetter({ toRetailer: { en: 'Keep the unit.', es: 'Guarde la unidad.' } });
    expect(letterContent(both, 'es').words).toMatchObject({ lang: 'es', text: 'Guarde la unidad.' });
    const english = letterContent(withLetter({ toRetailer: { en: 'Keep the unit.' } }), 'es').words;
    expect(english).toEqual({
      heading: 'Lo que añade la oficina de reclamaciones (en inglés)',
      lang: 'en',
      text: 'Keep the unit.',
    });
  });

  it('has a word of its own in each language for every ground, remedy and outcome, and every value in its place', () => {
    for (const lang of LETTER_LANGS) {
      const grounds = GROUNDS.map((ground) => letterContent({ ...SUBJECT, ground }, lang).facts[3]?.value);
      expect(new Set(grounds).size).toBe(GROUNDS.length);
      const given = REMEDIES.map((remedy) => letterContent(withLetter({ remedies: [remedy] }), lang).gives[0]);
      expect(new Set(given).size).toBe(REMEDIES.length);
      for (const outcome of DECISION_OUTCOMES)
        expect(allOf(letterContent(withLetter({ outcome }), lang))).not.toContain('#');
    }
    const [en, es] = LETTER_LANGS.map((lang) => letterContent(SUBJECT, lang));
    expect([en?.outcome, en?.caution, en?.next[1]]).not.toContain(es?.outcome);
    expect(es?.caution).not.toBe(en?.caution);
  });

  it('names months as Intl does', () => {
    for (let month = 1; month <= 12; month += 1) {
      const at = `2026-${String(month).padStart(2, '0')}-15T12:00:00Z`;
      const options = { day: 'numeric', month: 'long', year: 'numeric', timeZone: 'UTC' } as const;
      expect(letterDay('en', at, 'UTC')).toBe(new Intl.DateTimeFormat('en-GB', options).format(new Date(at)));
      expect(letterDay('es', at, 'UTC')).toBe(new Intl.DateTimeFormat('es-ES', options).format(new Date(at)));
    }
  });
});
