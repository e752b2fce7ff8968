import type { Answer, AnswerKind, AnswerValue, Checklist, UnitInHand } from '../inspections.contract.js';
import type { Fault } from '../../kernel/outcome.js';
import { pointer } from '../../kernel/outcome.js';
import { isIdList, isPieceCount } from './answer-test.js';
import { ChecklistWalk } from './walk.js';

/** A choice with this id says that none of the others applies; it stands alone. */
const NOTHING = 'none';
const LONGEST_NOTE = 2000;
const LONGEST_SCAN = 200;
const MOST_PHOTOS = 50;
const MOST_PIECES = 10_000;

type Complain = (detail: string, ...steps: readonly (string | number)[]) => void;

/**
 * What is wrong with one answer given the others: an unknown item, one that is not asked, a value of the wrong type, a
 * choice that does not exist, a part that is not on the packing list, a number outside min..max, text that is too long.
 * `not checked` (null) is always in order. Pointers are relative to the answer: `#/value/0`.
 */
export function checkAnswer(
  checklist: Checklist,
  answers: readonly Answer[],
  unit: UnitInHand,
  answer: Answer,
): Fault[] {
  const others = answers.filter((one) => one.item !== answer.item);
  return answerFaults(new ChecklistWalk(checklist, others, unit), answer);
}

/** Every fault of a whole set of answers, a second answer to one item included. Pointers: `#/<index>/value`. */
export function checkAnswers(checklist: Checklist, answers: readonly Answer[], unit: UnitInHand): Fault[] {
  return walkFaults(new ChecklistWalk(checklist, answers, unit));
}

/** The same for a walk that has been made already. */
export function walkFaults(walk: ChecklistWalk): Fault[] {
  const seen = new Set<string>();
  const faults: Fault[] = [];
  walk.answers.forEach((answer, index) => {
    if (seen.has(answer.item)) {
      const detail = `The item "${answer.item}" is answered twice; keep one answer.`;
      faults.push({ pointer: `#/${index}/item`, detail });
      return;
    }
    seen.add(answer.item);
    for (const fault of answerFaults(walk, answer)) {
      faults.push({ pointer: `#/${index}${fault.pointer.slice(1)}`, detail: fault.detail });
    }
  });
  return faults;
}

function answerFaults(walk: ChecklistWalk, answer: Answer): Fault[] {
  const item = walk.item(answer.item);
  if (item === undefined)
    return [{ pointer: '#/item', detail: `The checklist has no item "${answer.item}"; look up the id and try again.` }];
  if (!walk.isAsked(answer.item))
    return [
      {
        pointer: '#/item',
        detail: `The item "${answer.item}" is not asked with the answers so far; answer the items before it or leave it out.`,
      },
    ];
  const faults: Fault[] = [];
  if (answer.note !== undefined && answer.note.length > LONGEST_NOTE)
    faults.push({ pointer: '#/note', detail: `The note is longer than ${LONGEST_NOTE} characters; shorten it.` });
  const complain: Complain = (detail, ...steps) =>
    faults.push({ pointer: steps.reduce<string>(pointer, '#/value'), detail });
  if (answer.value !== null) checkValue(item.answer, answer.value, walk.unit, complain);
  return faults;
}

function checkValue(kind: AnswerKind, value: Exclude<AnswerValue, null>, unit: UnitInHand, complain: Complain): void {
  switch (kind.type) {
    case 'yes-no':
      if (value !== 'yes' && value !== 'no') complain('Answer "yes" or "no", or leave it not checked.');
      return;
    case 'choice':
      return checkChoice(kind, value, complain);
    case 'count':
      return checkCount(value, unit, complain);
    case 'number':
      return checkNumber(kind, value, complain);
    case 'scan':
      return checkText(value, LONGEST_SCAN, 'scanned text', complain);
    case 'text':
      return checkText(value, kind.maxLength, 'text', complain);
    case 'photo':
      return checkPhotos(value, complain);
  }
}

function checkChoice(kind: Extract<AnswerKind, { type: 'choice' }>, value: AnswerValue, complain: Complain): void {
  if (!isIdList(value) || value.length === 0) {
    complain('Answer with a list of choice ids, or leave it not checked.');
    return;
  }
  const known = kind.choices.map((choice) => choice.id);
  value.forEach((id, index) => {
    if (!known.includes(id)) complain(`There is no choice "${id}"; choose from: ${known.join(', ')}.`, index);
    else if (value.indexOf(id) !== index) complain(`The choice "${id}" is named twice; name it once.`, index);
  });
  if (kind.many !== true && value.length > 1) complain('Only one choice can be true here; name one.');
  if (value.length > 1 && value.includes(NOTHING))
    complain('"none" says that nothing else applies; take it out or take the others out.');
}

function checkCount(value: AnswerValue, unit: UnitInHand, complain: Complain): void {
  if (!isPieceCount(value) || Object.keys(value).length === 0) {
    complain('Answer with the pieces found by part number, or leave it not checked.');
    return;
  }
  const listed = new Set(unit.packingList.map((line) => line.part));
  for (const [part, pieces] of Object.entries(value)) {
    if (!listed.has(part)) complain(`The part "${part}" is not on the packing list of this unit.`, part);
    else if (!Number.isInteger(pieces) || pieces < 0 || pieces > MOST_PIECES)
      complain(`The number of pieces must be a whole number from 0 to ${MOST_PIECES}.`, part);
  }
}

function checkNumber(kind: Extract<AnswerKind, { type: 'number' }>, value: AnswerValue, complain: Complain): void {
  if (typeof value !== 'number' || !Number.isFinite(value)) complain(`Answer with a number of ${kind.unit}.`);
  else if (value < kind.min || value > kind.max)
    complain(`${value} ${kind.unit} is out of range; it must be from ${kind.min} to ${kind.max}.`);
}

function checkText(value: AnswerValue, longest: number, what: string, complain: Complain): void {
  if (typeof value !== 'string') complain(`Answer with ${what}.`);
  else if (value.trim() === '') complain(`This ${what} is empty; leave it not checked instead.`);
  else if (value.length > longest)
    complain(`This ${what} has ${value.length} characters; at most ${longest} are kept, so shorten it.`);
}

function checkPhotos(value: AnswerValue, complain: Complain): void {
  if (
    !isIdList(value) ||
    value.length === 0 ||
    value.length > MOST_PHOTOS ||
    value.some((id) => typeof id !== 'string')
  )
    complain(`Answer with a list of 1 to ${MOST_PHOTOS} photo ids, or leave it not checked.`);
}
