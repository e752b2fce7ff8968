import type { Ground, Remedy } from '../../kernel/vocabulary.js';

/** Languages in which a letter is written. */
export const LETTER_LANGS = ['en', 'es'] as const;
export type LetterLang = (typeof LETTER_LANGS)[number];

/** The fixed words of a letter; `#` stands for a value. */
const ENGLISH = {
  title: 'Decision on claim #',
  to: 'To',
  order: 'Order',
  item: 'Item',
  serial: 'Serial number',
  ground: 'Claimed for',
  filed: 'Filed',
  approved: 'The claim is approved.',
  'approved in part': 'The claim is approved in part.',
  declined: 'The claim is declined.',
  nothing: 'Nothing is given or paid on this claim.',
  gets: 'Your customer gets: #.',
  total: 'Money that is paid: #.',
  noMoney: 'No money is paid with it.',
  says: 'What the claims desk adds',
  inEnglish: 'in English',
  inSpanish: 'in Spanish',
  next: 'What happens next',
  remedyNext: 'The remedy will be ordered. The page of the claim says by when, and when it is done.',
  closedNext: 'The claim will be closed. You can ask for another look.',
  again:
    'If something was missed, or is new, ask for another look on the page of the claim and say what it is. A person looks at it; until another decision is made, this one counts.',
  from: 'The claims desk',
  replacedTitle: 'A later decision has taken the place of this one.',
  replaced: 'It is kept here because it was in force. What counts now stands on the page of the claim.',
  caution:
    'Defaults, not legal advice. Local law and the written warranty prevail; ask a licensed professional where money or safety hangs on it.',
  page: 'Page # of #',
} as const;

export type LetterWord = keyof typeof ENGLISH;

/** The compiler misses a key that is missing here. Our own wording; a reader of the trade has not gone over it yet. */
const SPANISH: Readonly<Record<LetterWord, string>> = {
  title: 'Decisión sobre la reclamación #',
  to: 'Para',
  order: 'Pedido',
  item: 'Artículo',
  serial: 'Número de serie',
  ground: 'Motivo',
  filed: 'Presentada',
  approved: 'La reclamación queda aprobada.',
  'approved in part': 'La reclamación queda aprobada en parte.',
  declined: 'La reclamación queda rechazada.',
  nothing: 'Por esta reclamación no se entrega ni se paga nada.',
  gets: 'Su cliente recibe: #.',
  total: 'Dinero que se paga: #.',
  noMoney: 'Con ello no se paga dinero.',
  says: 'Lo que añade la oficina de reclamaciones',
  inEnglish: 'en inglés',
  inSpanish: 'en español',
  next: 'Qué pasa ahora',
  remedyNext: 'Se encargará la solución. La página de la reclamación dice para cuándo, y cuándo está hecha.',
  closedNext: 'La reclamación se cerrará. Puede pedir otra revisión.',
  again:
    'Si algo se pasó por alto, o es nuevo, pida otra revisión en la página de la reclamación y diga qué es. Lo mira una persona; mientras no haya otra decisión, vale esta.',
  from: 'La oficina de reclamaciones',
  replacedTitle: 'Una decisión posterior ha sustituido a esta.',
  replaced: 'Se conserva porque estuvo en vigor. Lo que vale ahora está en la página de la reclamación.',
  caution:
    'Valores por defecto, no asesoramiento legal. Prevalecen la ley local y la garantía escrita; consulte a un profesional autorizado si hay dinero o seguridad en juego.',
  page: 'Página # de #',
};

const WORDS = { en: ENGLISH, es: SPANISH } as const;

export const LETTER_GROUNDS: Readonly<Record<LetterLang, Readonly<Record<Ground, string>>>> = {
  en: {
    damage: 'Damage',
    'dead on arrival': 'Dead on arrival',
    shortage: 'Shortage',
    warranty: 'Failed in use',
    return: 'Return',
  },
  es: {
    damage: 'Daños',
    'dead on arrival': 'No funcionó al llegar',
    shortage: 'Faltan piezas',
    warranty: 'Falló con el uso',
    return: 'Devolución',
  },
};

export const LETTER_REMEDIES: Readonly<Record<LetterLang, Readonly<Record<Remedy, string>>>> = {
  en: {
    refund: 'a refund',
    allowance: 'an allowance on the price',
    part: 'a part',
    unit: 'a replacement unit',
    visit: 'a repair visit',
    none: 'nothing',
  },
  es: {
    refund: 'un reembolso',
    allowance: 'una rebaja del precio',
    part: 'una pieza',
    unit: 'una unidad de recambio',
    visit: 'una visita de reparación',
    none: 'nada',
  },
};

const MONTHS: Readonly<Record<LetterLang, readonly string[]>> = {
  en: 'January February March April May June July August September October November December'.split(' '),
  es: 'enero febrero marzo abril mayo junio julio agosto septiembre octubre noviembre diciembre'.split(' '),
};

/** A word of a letter with its values put in. */
export function letterWord(lang: LetterLang, word: LetterWord, ...values: readonly (string | number)[]): string {
  const rest = [...values];
  return WORDS[lang][word].replaceAll('#', () => String(rest.shift() ?? ''));
}

/** "3 March 2026", "3 de marzo de 2026": the day of an instant in a zone. */
export function letterDay(lang: LetterLang, at: string, zone: string): string {
  const { day, month, year } = Temporal.Instant.from(at).toZonedDateTimeISO(zone);
  const name = MONTHS[lang][month - 1] ?? '';
  return lang === 'en' ? `${day} ${name} ${year}` : `${day} de ${name} de ${year}`;
}

/** The language of that name, or English. */
export function letterLang(text: string): LetterLang {
  return LETTER_LANGS.find((lang) => lang === text) ?? 'en';
}
