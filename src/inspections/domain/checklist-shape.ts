import { COMPONENTS, FAMILIES } from '../../kernel/vocabulary.js';
import type { Shape } from '../../kernel/shape.js';
import {
  byTag,
  exactly,
  fields,
  flag,
  isPlainObject,
  kebabId,
  listOf,
  number,
  oneOf,
  text,
  words,
} from '../../kernel/shape.js';

const sentence = words(400);
const anyNumber = number({ min: -1e9, max: 1e9 });
const ids = listOf(kebabId, { min: 1, max: 100 });

const TESTS: Readonly<Record<string, Shape>> = {
  is: fields({ is: ids }),
  isNot: fields({ isNot: ids }),
  below: fields({ below: anyNumber }),
  above: fields({ above: anyNumber }),
  outOfTolerance: fields({ outOfTolerance: flag }),
  short: fields({ short: flag }, { component: oneOf(COMPONENTS) }),
  mismatch: fields({ mismatch: flag }),
};

/** An answer test is told apart by the one field that only it has. */
const answerTest: Shape = (value, at, faults) => {
  const name = isPlainObject(value) ? Object.keys(TESTS).find((one) => Object.hasOwn(value, one)) : undefined;
  const shape = name === undefined ? undefined : TESTS[name];
  if (shape === undefined)
    faults.push({ pointer: at, detail: `A test needs one of: ${Object.keys(TESTS).join(', ')}.` });
  else shape(value, at, faults);
};

const answerKind = byTag('type', {
  'yes-no': fields({ type: exactly('yes-no') }),
  choice: fields(
    { type: exactly('choice'), choices: listOf(fields({ id: kebabId, says: sentence }), { min: 2, max: 40 }) },
    { many: flag },
  ),
  count: fields({ type: exactly('count') }),
  number: fields(
    { type: exactly('number'), unit: text(20), min: anyNumber, max: anyNumber },
    { tolerance: fields({ from: anyNumber, to: anyNumber }) },
  ),
  scan: fields({ type: exactly('scan'), of: oneOf(['serial', 'carton label']) }),
  text: fields({ type: exactly('text'), maxLength: number({ min: 1, max: 10_000, whole: true }) }),
  photo: fields({ type: exactly('photo') }),
});

const item = fields(
  { id: kebabId, ask: sentence, answer: answerKind },
  {
    help: sentence,
    component: oneOf(COMPONENTS),
    askIf: listOf(fields({ item: kebabId, test: answerTest }), { min: 1, max: 20 }),
    photos: listOf(fields({ id: kebabId, says: sentence }, { when: answerTest }), { min: 1, max: 20 }),
    yields: listOf(fields({ when: answerTest, observation: kebabId, sighting: oneOf(['present', 'absent']) }), {
      min: 1,
      max: 100,
    }),
    raises: listOf(fields({ when: answerTest, stop: kebabId }), { min: 1, max: 20 }),
  },
);

/** The form of a checklist document: fields, types and sizes. What the ids mean is checked afterwards. */
export const checklistShape: Shape = fields({
  format: exactly('checklist/1'),
  id: kebabId,
  version: number({ min: 1, max: 1_000_000, whole: true }),
  family: oneOf(FAMILIES),
  title: sentence,
  cautions: listOf(sentence, { min: 1, max: 20 }),
  sections: listOf(fields({ id: kebabId, title: sentence, items: listOf(item, { min: 1, max: 200 }) }), {
    min: 1,
    max: 40,
  }),
  stops: listOf(fields({ id: kebabId, says: sentence, do: listOf(sentence, { min: 1, max: 10 }) }), {
    min: 0,
    max: 40,
  }),
});
