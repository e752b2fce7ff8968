import type { Lang } from '../../domain/walk-view.js';
import { ENGLISH, type CrewWord } from './english.js';

/** Says a fixed word; every `#` is replaced by the next of the values. */
export type Say = (word: CrewWord, ...values: readonly (string | number)[]) => string;

type Words = Readonly<Partial<Record<CrewWord, string>>>;

let english: Words = ENGLISH;
/** The other language comes when it is wanted, and is kept for work without a signal. */
let spanish: Words | undefined;

/** Adds the English words of screens that were fetched; they are there before such a screen is drawn. */
export function learnMore(words: Words): void {
  english = { ...english, ...words };
}

/** Fetches the words of a language. Where that fails, English is spoken. */
export async function learn(lang: Lang): Promise<void> {
  if (lang === 'es') spanish ??= (await import('./spanish.js')).SPANISH;
}

/** Says fixed words in a language that was learnt. */
export function sayer(lang: Lang): Say {
  return (word, ...values) =>
    values.reduce<string>(
      (text, value) => text.replace('#', String(value)),
      (lang === 'es' ? spanish?.[word] : undefined) ?? english[word] ?? word,
    );
}
