import type {
  AnswerKind,
  AnswerTest,
  AskCondition,
  Checklist,
  ChecklistItem,
} from '../../../inspections/inspections.contract.js';

export const ANSWER_WORDS: Readonly<Record<AnswerKind['type'], string>> = {
  'yes-no': 'Yes or no',
  choice: 'One of a list',
  count: 'Pieces counted against the packing list',
  number: 'A number',
  scan: 'A label scanned',
  text: 'Words',
  photo: 'Photos',
};

/** How an item is answered, in a few words: "One or more of 9", "Number of people, 1 to 8". */
export function answerKindWords(answer: AnswerKind): string {
  switch (answer.type) {
    case 'choice':
      return `${answer.many === true ? 'Any' : 'One'} of ${answer.choices.length}`;
    case 'number': {
      const { unit, min, max, tolerance } = answer;
      const range = `${min} to ${max} ${unit}`;
      return tolerance === undefined ? range : `${range}, right from ${tolerance.from} to ${tolerance.to}`;
    }
    case 'scan':
      return answer.of === 'serial' ? 'Serial number scanned' : 'Carton label scanned';
    default:
      return ANSWER_WORDS[answer.type];
  }
}

/** A test as the end of a sentence that begins with the item: "is “Tripped” or “Missing”". @param kind how the tested item is answered */
export function testWords(test: AnswerTest, kind: AnswerKind | undefined): string {
  if ('is' in test) return `is ${listed(test.is, kind, ' or ')}`;
  if ('isNot' in test) return `is given, and is not ${listed(test.isNot, kind, ' or ')}`;
  if ('below' in test) return `is below ${test.below}`;
  if ('above' in test) return `is above ${test.above}`;
  if ('outOfTolerance' in test) return test.outOfTolerance ? 'is outside its tolerance' : 'is within its tolerance';
  if ('short' in test) {
    const of = test.component === undefined ? '' : ` of the ${test.component}`;
    return test.short ? `is short of pieces${of}` : `has every piece${of}`;
  }
  return test.mismatch ? 'is not the number of the visit' : 'is the number of the visit';
}

function listed(ids: readonly string[], kind: AnswerKind | undefined, last: string): string {
  const words = ids.map((id) => `“${choiceWords(kind, id)}”`);
  return words.length < 2 ? words.join('') : `${words.slice(0, -1).join(', ')}${last}${words.at(-1)}`;
}

/** An answer as the crew reads it in English. */
export function choiceWords(kind: AnswerKind | undefined, id: string): string {
  if (kind?.type === 'choice') return kind.choices.find((choice) => choice.id === id)?.says.en ?? id;
  return id === 'yes' ? 'Yes' : id === 'no' ? 'No' : id;
}

/** A condition as a sentence: "the answer to “What does the indicator show?” is “Tripped”". */
export function conditionWords(condition: AskCondition, checklist: Checklist): string {
  const item = itemById(checklist, condition.item);
  return `the answer to “${item?.ask.en ?? condition.item}” ${testWords(condition.test, item?.answer)}`;
}

export function itemById(checklist: Checklist, id: string): ChecklistItem | undefined {
  return checklist.sections.flatMap(({ items }) => items).find((item) => item.id === id);
}

const FIELD_WORDS: Readonly<Record<string, string>> = {
  ask: 'question',
  help: 'help',
  answer: 'answer',
  askIf: 'conditions',
  photos: 'photos',
  yields: 'observations',
  raises: 'safety stops',
  id: 'id',
  component: 'component',
};

/** Where a pointer leads, as people count: "Check 4, question". */
export function placeWords(checklist: Checklist, pointer: string): string {
  const [, part = '', first, , second, field] = pointer.split('/');
  if (part === 'cautions') return first === undefined ? 'Cautions' : `Caution ${Number(first) + 1}`;
  if (part === 'stops') return first === undefined ? 'Safety stops' : `Safety stop ${Number(first) + 1}`;
  if (part !== 'sections' || first === undefined) return 'Before the first check';
  if (second === undefined) return `Section ${Number(first) + 1}`;
  const before = checklist.sections.slice(0, Number(first)).reduce((sum, { items }) => sum + items.length, 0);
  const number = `Check ${before + Number(second) + 1}`;
  return field === undefined ? number : `${number}, ${FIELD_WORDS[field] ?? field}`;
}
