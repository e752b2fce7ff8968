import type { Lang } from '../../domain/walk-view.js';
import { ENGLISH, type CrewWord } from './english.js';

/** Says a fixed word; every `#` is replaced by the next of the values. */
export type Say = (word: CrewWord, ...values: readonly (string | number)[]) => string;

/** English is there from the start; the other language comes when it is wanted, and is kept for work without a signal. */
const languages: Partial<Record<Lang, Readonly<Record<CrewWord, string>>>> = { en: ENGLISH };

/** Fetches the words of a language. Where that fails, English is spoken. */
export async function learn(lang: Lang): Promise<void> {
  if (lang === 'es') languages.es ??= (await import('./spanish.js')).SPANISH;
}

/** Says fixed words in a language that was learnt. */
export function sayer(lang: Lang): Say {
  const words = languages[lang] ?? ENGLISH;
  return (word, ...values) => values.reduce<string>((text, value) => text.replace('#', String(value)), words[word]);
}
