import type {
  Answer,
  AnswerTest,
  AnswerValue,
  Checklist,
  ChecklistItem,
  Observations,
  SafetyStop,
  UnitInHand,
} from '../inspections.contract.js';
import { canonicalJson } from '../../kernel/canonical-json.js';
import { passes } from './answer-test.js';

/** All items in the order of the work. */
export function itemsOf(checklist: Checklist): ChecklistItem[] {
  return checklist.sections.flatMap((section) => [...section.items]);
}

/**
 * The items to be asked, in the order of the list, given the answers so far. Conditions look only at earlier items that
 * are themselves asked, so an answer never un-asks an item before it, and the order in which answers came plays no part.
 */
export function askedItems(checklist: Checklist, answers: readonly Answer[], unit: UnitInHand): ChecklistItem[] {
  return walked(checklist, answers, unit).map((step) => step.item);
}

/** The first asked item without an answer; `not checked` (null) is an answer. Undefined when the walk is complete. */
export function nextItem(
  checklist: Checklist,
  answers: readonly Answer[],
  unit: UnitInHand,
): ChecklistItem | undefined {
  return walked(checklist, answers, unit).find((step) => !step.answered)?.item;
}

/**
 * What the answers say about the unit, as sorted lists of observation codes. Answers to items that are no longer asked
 * do not count, and whatever was not checked is in neither list. Seen once is seen: were an observation both present
 * and absent by two overlapping yields of one item, it is present.
 */
export function observationsFrom(checklist: Checklist, answers: readonly Answer[], unit: UnitInHand): Observations {
  const present = new Set<string>();
  const absent = new Set<string>();
  for (const { item, value } of walked(checklist, answers, unit)) {
    for (const one of item.yields ?? []) {
      if (!passes(one.when, item.answer, value, unit)) continue;
      (one.sighting === 'present' ? present : absent).add(one.observation);
    }
  }
  return { present: [...present].sort(), absent: [...absent].filter((code) => !present.has(code)).sort() };
}

/** The safety stops that the answers raise, each once, in the order of the items that raise them. */
export function raisedStops(checklist: Checklist, answers: readonly Answer[], unit: UnitInHand): SafetyStop[] {
  const raised = new Set<string>();
  for (const { item, value } of walked(checklist, answers, unit))
    for (const one of item.raises ?? []) if (passes(one.when, item.answer, value, unit)) raised.add(one.stop);
  return [...raised].flatMap((id) => checklist.stops.filter((stop) => stop.id === id));
}

/** A photo that an asked item demands and that is not there yet. */
export interface OwedPhoto {
  readonly item: string;
  readonly demand: string;
}

/**
 * The photos still owed: demands without a condition of every asked item, and demands whose condition the answer
 * passes, less those that a photo of that item already shows.
 */
export function owedPhotos(
  checklist: Checklist,
  answers: readonly Answer[],
  unit: UnitInHand,
  photos: readonly { readonly item: string; readonly shows: string }[],
): OwedPhoto[] {
  return walked(checklist, answers, unit).flatMap(({ item, value }) =>
    (item.photos ?? [])
      .filter((demand) => isDemanded(item, demand.when, value, unit))
      .filter((demand) => !photos.some((photo) => photo.item === item.id && photo.shows === demand.id))
      .map((demand) => ({ item: item.id, demand: demand.id })),
  );
}

function isDemanded(item: ChecklistItem, when: AnswerTest | undefined, value: AnswerValue, unit: UnitInHand): boolean {
  return when === undefined || passes(when, item.answer, value, unit);
}

interface Step {
  readonly item: ChecklistItem;
  readonly answered: boolean;
  readonly value: AnswerValue;
}

/** One pass in the order of the list: each asked item with its answer. */
function walked(checklist: Checklist, answers: readonly Answer[], unit: UnitInHand): Step[] {
  const given = answersByItem(answers);
  const asked = new Map<string, Step>();
  for (const item of itemsOf(checklist)) {
    const holds = (item.askIf ?? []).every((condition) => {
      const earlier = asked.get(condition.item);
      return earlier !== undefined && passes(condition.test, earlier.item.answer, earlier.value, unit);
    });
    if (holds) asked.set(item.id, { item, answered: given.has(item.id), value: given.get(item.id) ?? null });
  }
  return [...asked.values()];
}

/** Two different answers to one item cancel out to `not checked`, so that the order of answers decides nothing. */
function answersByItem(answers: readonly Answer[]): Map<string, AnswerValue> {
  const given = new Map<string, AnswerValue>();
  for (const { item, value } of answers) {
    const before = given.get(item);
    const differs = given.has(item) && canonicalJson(before ?? null) !== canonicalJson(value);
    given.set(item, differs ? null : value);
  }
  return given;
}
