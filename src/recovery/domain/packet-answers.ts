import type { ClaimFile } from '../../adjudication/adjudication.contract.js';
import type { AnswerValue, Checklist, ChecklistItem } from '../../inspections/inspections.contract.js';

/** An item of the checklist with its answer in words. */
export interface AnsweredItem {
  readonly item: string;
  readonly ask: string;
  readonly answer: string;
}

/** The answers of an inspection in the order given, with what was asked; choices in the words of the checklist. */
export function answersOf(claim: ClaimFile, checklist: Checklist): AnsweredItem[] {
  const items = new Map(checklist.sections.flatMap((section) => section.items.map((item) => [item.id, item] as const)));
  return claim.inspection.answers.map(({ item, value, note }) => {
    const asked = items.get(item);
    const answer = answerSays(value, asked);
    return { item, ask: asked?.ask.en ?? item, answer: note === undefined ? answer : `${answer} (${note})` };
  });
}

function answerSays(value: AnswerValue, item: ChecklistItem | undefined): string {
  if (value === null) return 'not checked';
  if (typeof value === 'number') return item?.answer.type === 'number' ? `${value} ${item.answer.unit}` : String(value);
  if (typeof value === 'string') return value;
  if (isList(value)) {
    if (item?.answer.type === 'photo') return value.length === 1 ? '1 photo' : `${value.length} photos`;
    const choices = item?.answer.type === 'choice' ? item.answer.choices : [];
    return value.map((id) => choices.find((choice) => choice.id === id)?.says.en ?? id).join(', ');
  }
  return Object.entries(value)
    .map(([part, pieces]) => `${part}: ${pieces}`)
    .join(', ');
}

function isList(value: AnswerValue): value is readonly string[] {
  return Array.isArray(value);
}

/** What a photo shows: what was asked, and which view. */
export function photoSays(photo: ClaimFile['photos'][number], checklist: Checklist): string {
  const item = checklist.sections.flatMap(({ items }) => items).find(({ id }) => id === photo.item);
  const demand = item?.photos?.find(({ id }) => id === photo.shows);
  if (item === undefined) return `${photo.item}, ${photo.shows}.`;
  const asked = firstSentence(item.ask.en);
  return demand === undefined ? `${asked} ${photo.shows}.` : `${asked} ${sentence(demand.says.en)}`;
}

function sentence(text: string): string {
  return /[.!?]$/.test(text) ? text : `${text}.`;
}

/** What was asked, without how to answer it. */
function firstSentence(text: string): string {
  return sentence(/^.*?[.!?](?=\s|$)/.exec(text)?.[0] ?? text);
}
