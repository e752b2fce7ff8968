import type { DecisionOutcome, WordsToRetailer } from '../../claims/claims.contract.js';
import { showClaimNumber } from '../../kernel/claim-number.js';
import type { Ground, Remedy } from '../../kernel/vocabulary.js';
import {
  LETTER_GROUNDS,
  LETTER_REMEDIES,
  letterDay,
  letterWord,
  type LetterLang,
  type LetterWord,
} from './letter-words.js';
import { showMoney } from './money-words.js';

/** A decision that was in force, as the retailer may see it. */
export interface Letter {
  /** Its number among the decisions on the claim. */
  readonly n: number;
  readonly outcome: DecisionOutcome;
  readonly remedies: readonly Remedy[];
  /** Minor units of the claim's currency. */
  readonly totalMinor: number;
  /** RFC 3339 instant from which it counted. */
  readonly at: string;
  /** Another decision has taken its place. */
  readonly replaced: boolean;
  readonly toRetailer?: WordsToRetailer | undefined;
}

/** What a letter is about. */
export interface LetterSubject {
  /** Nine digits; null for a draft. */
  readonly number: string | null;
  readonly retailer: string;
  /** Where letters went at the time; absent: the retailer had named no address. */
  readonly address?: string | undefined;
  /** Name of the house whose desk decided. */
  readonly house: string;
  readonly orderReference: string;
  readonly model: string;
  readonly serial: string;
  readonly ground: Ground;
  readonly filedAt: string | null;
  readonly currency: string;
  /** IANA time zone of the delivery. */
  readonly zone: string;
  readonly letter: Letter;
}

/** Everything that stands in a letter, in its order: the page and the PDF set the same. */
export interface LetterContent {
  readonly lang: LetterLang;
  readonly title: string;
  readonly date: string;
  readonly madeAt: string;
  readonly to: readonly string[];
  readonly facts: readonly { readonly label: string; readonly value: string }[];
  readonly outcome: string;
  readonly gives: readonly string[];
  /** What whoever decided wrote for the retailer, in the language in which it was written. */
  readonly words: { readonly heading: string; readonly lang: LetterLang; readonly text: string } | undefined;
  /** Set where a later decision counts. */
  readonly replaced: { readonly title: string; readonly says: string } | undefined;
  readonly nextHeading: string;
  readonly next: readonly string[];
  readonly from: readonly string[];
  readonly caution: string;
}

/**
 * A decision as a letter. It rests on the decision and on nothing that changes after it, so that it reads the same whenever it is opened;
 * only that a later decision has replaced it is added.
 */
export function letterContent(subject: LetterSubject, lang: LetterLang): LetterContent {
  const { letter, zone } = subject;
  const say = (word: LetterWord, ...values: readonly (string | number)[]) => letterWord(lang, word, ...values);
  // A number is read out in one go, so that it never breaks over two lines.
  const number = subject.number === null ? '' : showClaimNumber(subject.number).replaceAll(' ', '\u00a0');
  const facts = [
    { label: say('order'), value: subject.orderReference },
    { label: say('item'), value: subject.model },
    { label: say('serial'), value: subject.serial },
    { label: say('ground'), value: LETTER_GROUNDS[lang][subject.ground] },
    ...(subject.filedAt === null ? [] : [{ label: say('filed'), value: letterDay(lang, subject.filedAt, zone) }]),
  ];
  const next = letter.outcome === 'declined' ? say('closedNext') : say('remedyNext');
  return {
    lang,
    title: say('title', number).trim(),
    date: letterDay(lang, letter.at, zone),
    madeAt: letter.at,
    to: [`${say('to')} ${subject.retailer}`, ...(subject.address?.split('\n') ?? [])],
    facts,
    outcome: say(letter.outcome),
    gives: gives(subject, lang),
    words: wordsIn(letter.toRetailer, lang),
    replaced: letter.replaced ? { title: say('replacedTitle'), says: say('replaced') } : undefined,
    nextHeading: say('next'),
    next: letter.replaced ? [] : [next, say('again')],
    from: [say('from'), subject.house],
    caution: say('caution'),
  };
}

function gives({ letter, currency }: LetterSubject, lang: LetterLang): readonly string[] {
  const given = [...new Set(letter.remedies)].filter((remedy) => remedy !== 'none');
  if (letter.outcome === 'declined' || given.length === 0) return [letterWord(lang, 'nothing')];
  const names = given.map((remedy) => LETTER_REMEDIES[lang][remedy]).join(', ');
  const paid = letterWord(lang, 'total', showMoney(letter.totalMinor, currency));
  return [letterWord(lang, 'gets', names), letter.totalMinor === 0 ? letterWord(lang, 'noMoney') : paid];
}

/** The desk's words in the letter's language, or else in the other one, which the heading then names. */
function wordsIn(words: WordsToRetailer | undefined, lang: LetterLang): LetterContent['words'] {
  const written = [lang, lang === 'en' ? 'es' : 'en'] as const;
  const found = written.find((each) => words?.[each] !== undefined);
  const text = found === undefined ? undefined : words?.[found];
  if (found === undefined || text === undefined) return undefined;
  const heading = letterWord(lang, 'says');
  const other = letterWord(lang, found === 'en' ? 'inEnglish' : 'inSpanish');
  return { heading: found === lang ? heading : `${heading} (${other})`, lang: found, text };
}
