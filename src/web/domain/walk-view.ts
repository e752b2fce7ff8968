import type {
  Answer,
  AnswerValue,
  Checklist,
  ChecklistItem,
  PhotoDemand,
  RaisedStop,
  SafetyStop,
  UnitInHand,
} from '../../inspections/inspections.contract.js';
import type { Words } from '../../kernel/vocabulary.js';

/** Languages that crews are spoken to in. */
export type Lang = 'en' | 'es';

/** The few fixed words that answers are made of. */
const ANSWERS = {
  could: { en: 'Could not check', es: 'No se pudo revisar' },
  yes: { en: 'Yes', es: 'Sí' },
  no: { en: 'No', es: 'No' },
  photos: { en: 'photos', es: 'fotos' },
} as const;

/** How far an inspection has come. */
export interface Walk {
  readonly checklist: Checklist;
  readonly unit: UnitInHand;
  readonly asked: readonly ChecklistItem[];
  readonly answers: readonly Answer[];
  readonly owed: readonly { readonly item: string; readonly demand: string }[];
  readonly stops: readonly RaisedStop[];
}

/** A sentence in the language, or in English where nobody has written it in that one. */
export function say(words: Words, lang: Lang): string {
  return lang === 'es' ? (words.es ?? words.en) : words.en;
}

/** Where an item stands in the walk. */
export interface PlaceInWalk {
  readonly section: string;
  /** Of the asked items, how many have an answer. */
  readonly answered: number;
  readonly of: number;
  readonly before?: string;
}

export function placeInWalk(walk: Walk, itemId: string, lang: Lang): PlaceInWalk {
  const at = walk.asked.findIndex(({ id }) => id === itemId);
  const section = walk.checklist.sections.find(({ items }) => items.some(({ id }) => id === itemId));
  const before = at > 0 ? walk.asked[at - 1]?.id : undefined;
  return {
    section: section === undefined ? '' : say(section.title, lang),
    answered: walk.asked.filter(({ id }) => answerOf(walk, id) !== undefined).length,
    of: walk.asked.length,
    ...(before === undefined ? {} : { before }),
  };
}

export function answerOf(walk: Pick<Walk, 'answers'>, itemId: string): Answer | undefined {
  return walk.answers.find(({ item }) => item === itemId);
}

/** The stop that nobody has acknowledged yet, with its words. */
export function standingStop(walk: Walk): SafetyStop | undefined {
  const raised = walk.stops.find(({ acknowledgedAt }) => acknowledgedAt === null);
  if (raised === undefined) return undefined;
  return (
    walk.checklist.stops.find(({ id }) => id === raised.stop) ?? { id: raised.stop, says: { en: raised.stop }, do: [] }
  );
}

/** A photo that an item asks for, and whether it is still missing. */
export interface AskedPhoto {
  readonly demand: PhotoDemand;
  readonly owed: boolean;
}

/** The photos that an item asks for with the answers so far: those still owed and those that are there. */
export function askedPhotos(
  walk: Walk,
  item: ChecklistItem,
  photos: readonly { readonly item: string; readonly shows: string }[],
): AskedPhoto[] {
  return (item.photos ?? []).flatMap((demand) => {
    const owed = walk.owed.some((each) => each.item === item.id && each.demand === demand.id);
    const there = photos.some((photo) => photo.item === item.id && photo.shows === demand.id);
    return owed || there ? [{ demand, owed }] : [];
  });
}

/** An answer in words. */
export function answerWords(item: ChecklistItem, value: AnswerValue, lang: Lang): string {
  if (value === null) return ANSWERS.could[lang];
  if (typeof value === 'number')
    return item.answer.type === 'number' ? `${value} ${unitWords(item.answer.unit, lang, value)}` : String(value);
  if (typeof value === 'string') return textWords(item, value, lang);
  if (!isList(value)) {
    return Object.entries(value)
      .map(([part, pieces]) => `${part}: ${pieces}`)
      .join(', ');
  }
  const kind = item.answer;
  if (kind.type !== 'choice') return `${value.length} × ${ANSWERS.photos[lang]}`;
  return value.map((id) => choiceWords(kind.choices, id, lang)).join('; ');
}

/** A unit as people say it; symbols such as mm and s are the same in both languages. */
export function unitWords(unit: string, lang: Lang, value?: number): string {
  if (unit !== 'people') return unit;
  if (lang === 'es') return value === 1 ? 'persona' : 'personas';
  return value === 1 ? 'person' : unit;
}

function textWords(item: ChecklistItem, value: string, lang: Lang): string {
  if (item.answer.type === 'choice') return choiceWords(item.answer.choices, value, lang);
  return item.answer.type === 'yes-no' ? ANSWERS[value === 'yes' ? 'yes' : 'no'][lang] : value;
}

function isList(value: AnswerValue): value is readonly string[] {
  return Array.isArray(value);
}

function choiceWords(
  choices: readonly { readonly id: string; readonly says: Words }[],
  id: string,
  lang: Lang,
): string {
  const found = choices.find((choice) => choice.id === id);
  return found === undefined ? id : say(found.says, lang);
}

/** What stands in the way of a complete inspection. */
export interface Gaps {
  readonly items: readonly ChecklistItem[];
  readonly photos: readonly { readonly item: ChecklistItem; readonly demand: PhotoDemand }[];
}

export function gapsOf(walk: Walk): Gaps {
  const items = walk.asked.filter(({ id }) => answerOf(walk, id) === undefined);
  const photos = walk.owed.flatMap((owed) => {
    const item = walk.asked.find(({ id }) => id === owed.item);
    const demand = item?.photos?.find(({ id }) => id === owed.demand);
    return item === undefined || demand === undefined ? [] : [{ item, demand }];
  });
  return { items, photos };
}
