import {
  askedItems,
  type Answer,
  type AnswerTest,
  type AnswerValue,
  type Checklist,
  type ChecklistItem,
  type UnitInHand,
} from '../../../inspections/inspections.contract.js';
import { itemById } from './checklist-words.js';

/**
 * Answers after which a check is asked, found by trying the answers that its conditions could mean.
 * @returns undefined where no answer was found; empty where it is always asked
 */
export function answersThatAsk(checklist: Checklist, id: string, unit: UnitInHand): readonly Answer[] | undefined {
  const answers = new Map<string, AnswerValue>();
  if (!lead(checklist, id, unit, answers)) return undefined;
  const given = [...answers].map(([item, value]): Answer => ({ item, value }));
  return askedItems(checklist, given, unit).some((item) => item.id === id) ? given : undefined;
}

function lead(checklist: Checklist, id: string, unit: UnitInHand, answers: Map<string, AnswerValue>): boolean {
  const item = itemById(checklist, id);
  if (item === undefined) return false;
  for (const target of new Set((item.askIf ?? []).map((condition) => condition.item))) {
    const asked = itemById(checklist, target);
    if (asked === undefined || answers.has(target)) continue;
    if (!lead(checklist, target, unit, answers)) return false;
    const value = fitting(checklist, item, asked, unit);
    if (value === undefined) return false;
    answers.set(target, value);
  }
  return true;
}

/** An answer to one check that passes every condition that another one puts on it. */
function fitting(
  checklist: Checklist,
  item: ChecklistItem,
  target: ChecklistItem,
  unit: UnitInHand,
): AnswerValue | undefined {
  const conditions = (item.askIf ?? []).filter((condition) => condition.item === target.id);
  const { askIf: _askIf, ...always } = target;
  const small: Checklist = {
    ...checklist,
    sections: [{ id: 'only', title: { en: '-' }, items: [always, { ...item, askIf: conditions }] }],
  };
  const tests = conditions.map(({ test }) => test);
  return candidates(target, tests, unit).find((value) =>
    askedItems(small, [{ item: target.id, value }], unit).some(({ id }) => id === item.id),
  );
}

function candidates(target: ChecklistItem, tests: readonly AnswerTest[], unit: UnitInHand): readonly AnswerValue[] {
  const kind = target.answer;
  switch (kind.type) {
    case 'yes-no':
      return ['yes', 'no'];
    case 'choice':
      return kind.choices.map(({ id }) => [id]);
    case 'number': {
      const edges = tests.flatMap((test) =>
        'below' in test ? [test.below - 1] : 'above' in test ? [test.above + 1] : [],
      );
      const { tolerance } = kind;
      const around = tolerance === undefined ? [] : [tolerance.from, tolerance.from - 1, tolerance.to + 1];
      return [...edges, ...around, kind.min, kind.max].filter((value) => value >= kind.min && value <= kind.max);
    }
    case 'count': {
      const all = unit.packingList.map(({ part, pieces }) => [part, pieces] as const);
      return [Object.fromEntries(all), Object.fromEntries(all.map(([part]) => [part, 0]))];
    }
    case 'scan':
      return [unit.serial, `${unit.serial}-OTHER`];
    case 'text':
      return ['-'];
    case 'photo':
      return [['photo']];
  }
}
