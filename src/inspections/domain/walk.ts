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
  return [...laidOut(checklist).items];
}

/**
 * The items to be asked, in the order of the list, given the answers so far. Conditions look only at earlier items that
 * are themselves asked, so an answer never un-asks an item before it, and the order in which answers came plays no part.
 */
export function askedItems(checklist: Checklist, answers: readonly Answer[], unit: UnitInHand): ChecklistItem[] {
  return new ChecklistWalk(checklist, answers, unit).askedItems();
}

/** The first asked item without an answer; `not checked` (null) is an answer. Undefined when the walk is complete. */
export function nextItem(
  checklist: Checklist,
  answers: readonly Answer[],
  unit: UnitInHand,
): ChecklistItem | undefined {
  return new ChecklistWalk(checklist, answers, unit).nextItem();
}

/**
 * What the answers say about the unit, as sorted lists of observation codes. Answers to items that are no longer asked
 * do not count, and whatever was not checked is in neither list. Seen once is seen: were an observation both present
 * and absent by two overlapping yields of one item, it is present.
 */
export function observationsFrom(checklist: Checklist, answers: readonly Answer[], unit: UnitInHand): Observations {
  return new ChecklistWalk(checklist, answers, unit).observations();
}

/** The safety stops that the answers raise, each once, in the order of the items that raise them. */
export function raisedStops(checklist: Checklist, answers: readonly Answer[], unit: UnitInHand): SafetyStop[] {
  return new ChecklistWalk(checklist, answers, unit).raisedStops();
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
  return new ChecklistWalk(checklist, answers, unit).owedPhotos(photos);
}

interface Step {
  readonly item: ChecklistItem;
  readonly answered: boolean;
  readonly value: AnswerValue;
}

/**
 * One pass through a checklist in the order of the list, for several questions about the same answers. Each method answers as the
 * function of the same name does.
 */
export class ChecklistWalk {
  private readonly steps: ReadonlyMap<string, Step>;

  constructor(
    readonly checklist: Checklist,
    readonly answers: readonly Answer[],
    readonly unit: UnitInHand,
  ) {
    this.steps = walked(checklist, answers, unit);
  }

  /** An item of the checklist by its id, asked or not. */
  item(id: string): ChecklistItem | undefined {
    return laidOut(this.checklist).byId.get(id);
  }

  /** Whether an item is asked. Its own answer has no say in it: conditions look only at earlier items. */
  isAsked(id: string): boolean {
    return this.steps.has(id);
  }

  askedItems(): ChecklistItem[] {
    return Array.from(this.steps.values(), ({ item }) => item);
  }

  nextItem(): ChecklistItem | undefined {
    for (const { answered, item } of this.steps.values()) if (!answered) return item;
    return undefined;
  }

  observations(): Observations {
    const present = new Set<string>();
    const absent: string[] = [];
    for (const { item, value } of this.steps.values()) {
      if (value === null) continue;
      for (const one of item.yields ?? []) {
        if (!passes(one.when, item.answer, value, this.unit)) continue;
        if (one.sighting === 'present') present.add(one.observation);
        else if (!absent.includes(one.observation)) absent.push(one.observation);
      }
    }
    return { present: [...present].sort(), absent: absent.filter((code) => !present.has(code)).sort() };
  }

  raisedStops(): SafetyStop[] {
    const raised = new Set<string>();
    for (const { item, value } of this.steps.values())
      for (const one of item.raises ?? []) if (passes(one.when, item.answer, value, this.unit)) raised.add(one.stop);
    return [...raised].flatMap((id) => this.checklist.stops.filter((stop) => stop.id === id));
  }

  owedPhotos(photos: readonly { readonly item: string; readonly shows: string }[]): OwedPhoto[] {
    const owed: OwedPhoto[] = [];
    for (const { item, value } of this.steps.values()) {
      for (const demand of item.photos ?? []) {
        if (!isDemanded(item, demand.when, value, this.unit)) continue;
        if (photos.some((photo) => photo.item === item.id && photo.shows === demand.id)) continue;
        owed.push({ item: item.id, demand: demand.id });
      }
    }
    return owed;
  }
}

function isDemanded(item: ChecklistItem, when: AnswerTest | undefined, value: AnswerValue, unit: UnitInHand): boolean {
  return when === undefined || passes(when, item.answer, value, unit);
}

/** Each asked item with its answer, in the order of the list. */
function walked(checklist: Checklist, answers: readonly Answer[], unit: UnitInHand): Map<string, Step> {
  const given = answersByItem(answers);
  const asked = new Map<string, Step>();
  for (const item of laidOut(checklist).items) {
    const holds = (item.askIf ?? []).every((condition) => {
      const earlier = asked.get(condition.item);
      return earlier !== undefined && passes(condition.test, earlier.item.answer, earlier.value, unit);
    });
    if (!holds) continue;
    const value = given.get(item.id);
    asked.set(item.id, { item, answered: value !== undefined, value: value ?? null });
  }
  return asked;
}

/** Two different answers to one item cancel out to `not checked`, so that the order of answers decides nothing. */
function answersByItem(answers: readonly Answer[]): Map<string, AnswerValue> {
  const given = new Map<string, AnswerValue>();
  for (const { item, value } of answers) {
    const before = given.get(item);
    const differs = before !== undefined && canonicalJson(before) !== canonicalJson(value);
    given.set(item, differs ? null : value);
  }
  return given;
}

/** The items of a checklist in a row and by their ids. */
interface LaidOut {
  readonly items: readonly ChecklistItem[];
  readonly byId: ReadonlyMap<string, ChecklistItem>;
}

/** Published checklists never change, so each is laid out once for as long as it is in use. */
const LAID_OUT = new WeakMap<Checklist, LaidOut>();

function laidOut(checklist: Checklist): LaidOut {
  const known = LAID_OUT.get(checklist);
  if (known !== undefined) return known;
  const items = checklist.sections.flatMap((section) => section.items);
  // Of two items with one id, which no checked list has, the first counts.
  const byId = new Map(items.toReversed().map((item) => [item.id, item]));
  const fresh = { items, byId };
  LAID_OUT.set(checklist, fresh);
  return fresh;
}
