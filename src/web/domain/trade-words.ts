import type { Ground, Party, Receipt, Remedy } from '../../kernel/vocabulary.js';

/** Trade words as a sentence begins with them. */
export const GROUND_WORDS: Readonly<Record<Ground, string>> = {
  damage: 'Damage',
  'dead on arrival': 'Dead on arrival',
  shortage: 'Shortage',
  warranty: 'Failed in use',
  return: 'Return',
};

export const REMEDY_WORDS: Readonly<Record<Remedy, string>> = {
  refund: 'Refund',
  allowance: 'Allowance on the price',
  part: 'Part',
  unit: 'Replacement unit',
  visit: 'Repair visit',
  none: 'Nothing',
};

export const RECEIPT_WORDS: Readonly<Record<Receipt, string>> = {
  clean: 'Signed, nothing noted',
  'exceptions noted': 'Signed, with the damage noted',
  refused: 'Delivery refused',
  'no signature': 'Nobody signed',
};

export const PARTY_WORDS: Readonly<Record<Party, string>> = {
  maker: 'Maker',
  seller: 'Seller',
  carrier: 'Carrier',
  crew: 'Crew',
  customer: 'Customer',
};

/** "late by 3 hours" → "Late by 3 hours". */
export function sentenceCase(text: string): string {
  return text.charAt(0).toUpperCase() + text.slice(1);
}

/** 3500 → "35 %", 3333 → "33.33 %". */
export function showShare(bp: number): string {
  return `${String(bp / 100)} %`;
}

/** 0.8342 → "83 %"; what is neither surely true nor surely false is never shown as 0 or 100. */
export function showChance(probability: number): string {
  if (probability > 0 && probability < 0.005) return 'under 1 %';
  if (probability < 1 && probability >= 0.995) return 'over 99 %';
  return `${Math.round(probability * 100)} %`;
}

/**
 * Decibans in words. The steps are those of odds: 3 decibans double the odds (10·log10 2 = 3.01), 10 make them tenfold.
 * What each step is called is common practice.
 */
export function weightWords(decibans: number): string {
  const size = Math.abs(decibans);
  const how =
    size < 1 ? 'hardly' : size < 3 ? 'a little' : size < 10 ? 'clearly' : size < 20 ? 'strongly' : 'very strongly';
  if (size < 1) return 'hardly says anything';
  return `speaks ${how} ${decibans > 0 ? 'for it' : 'against it'}`;
}

/** The caution beside clocks, policies and amounts. */
export const CAUTION =
  'Defaults, not legal advice. Local law and the written warranty prevail; ask a licensed professional where money or safety hangs on it.';

/** Remedies in words; "nothing" is said only where nothing else is given. */
export function remediesInWords(remedies: readonly Remedy[]): string {
  const given = [...new Set(remedies)].filter((remedy) => remedy !== 'none');
  return (given.length > 0 ? given : remedies.slice(0, 1)).map((remedy) => REMEDY_WORDS[remedy]).join(', ');
}
