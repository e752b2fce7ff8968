import type { Answer, AnswerValue, Checklist, UnitInHand } from '../../src/inspections/inspections.contract.js';

/** One item of every answer type, with conditions two deep, photos, yields and stops. */
export const SMALL: Checklist = {
  format: 'checklist/1',
  id: 'small',
  version: 1,
  family: 'lift chair',
  title: { en: 'A small list' },
  cautions: [{ en: 'Lift with two.' }],
  sections: [
    {
      id: 'first',
      title: { en: 'First' },
      items: [
        {
          id: 'people',
          ask: { en: 'How many lift?' },
          answer: { type: 'number', unit: 'people', min: 1, max: 8 },
          raises: [{ when: { below: 2 }, stop: 'alone' }],
        },
        {
          id: 'marks',
          ask: { en: 'What marks?' },
          answer: {
            type: 'choice',
            many: true,
            choices: [
              { id: 'corner', says: { en: 'Corner' } },
              { id: 'hole', says: { en: 'Hole' } },
              { id: 'none', says: { en: 'None' } },
            ],
          },
          photos: [
            { id: 'wide', says: { en: 'Wide' } },
            { id: 'close', says: { en: 'Close' }, when: { isNot: ['none'] } },
          ],
          yields: [
            { when: { is: ['corner'] }, observation: 'corner-crushed', sighting: 'present' },
            { when: { isNot: ['corner'] }, observation: 'corner-crushed', sighting: 'absent' },
            { when: { is: ['hole'] }, observation: 'hole', sighting: 'present' },
            { when: { isNot: ['hole'] }, observation: 'hole', sighting: 'absent' },
          ],
        },
        {
          id: 'hole-low',
          ask: { en: 'Is the hole low?' },
          answer: { type: 'yes-no' },
          askIf: [{ item: 'marks', test: { is: ['hole'] } }],
          photos: [{ id: 'close', says: { en: 'Close' }, when: { is: ['yes'] } }],
          yields: [
            { when: { is: ['yes'] }, observation: 'hole-low', sighting: 'present' },
            { when: { is: ['no'] }, observation: 'hole-low', sighting: 'absent' },
          ],
        },
        {
          id: 'hole-words',
          ask: { en: 'Describe it.' },
          answer: { type: 'text', maxLength: 20 },
          askIf: [{ item: 'hole-low', test: { is: ['yes'] } }],
        },
      ],
    },
    {
      id: 'second',
      title: { en: 'Second' },
      items: [
        {
          id: 'serial',
          ask: { en: 'Scan.' },
          answer: { type: 'scan', of: 'serial' },
          yields: [
            { when: { mismatch: true }, observation: 'serial-differs', sighting: 'present' },
            { when: { mismatch: false }, observation: 'serial-differs', sighting: 'absent' },
          ],
        },
        {
          id: 'count',
          ask: { en: 'Count.' },
          answer: { type: 'count' },
          yields: [
            { when: { short: true, component: 'leg' }, observation: 'legs-short', sighting: 'present' },
            { when: { short: false, component: 'leg' }, observation: 'legs-short', sighting: 'absent' },
            { when: { short: true, component: 'motor' }, observation: 'motors-short', sighting: 'present' },
            { when: { short: false, component: 'motor' }, observation: 'motors-short', sighting: 'absent' },
          ],
        },
        {
          id: 'seconds',
          ask: { en: 'Seconds to ready?' },
          answer: { type: 'number', unit: 's', min: 0, max: 300, tolerance: { from: 0, to: 90 } },
          yields: [
            { when: { outOfTolerance: true }, observation: 'late', sighting: 'present' },
            { when: { outOfTolerance: false }, observation: 'late', sighting: 'absent' },
          ],
          raises: [{ when: { above: 200 }, stop: 'dead' }],
        },
        { id: 'faces', ask: { en: 'Photos.' }, answer: { type: 'photo' } },
      ],
    },
  ],
  stops: [
    { id: 'dead', says: { en: 'Dead.' }, do: [{ en: 'Unplug.' }] },
    { id: 'alone', says: { en: 'Alone.' }, do: [{ en: 'Call.' }] },
  ],
};

export const UNIT: UnitInHand = {
  serial: 'LC-0042',
  packingList: [
    { part: 'LEG-A', component: 'leg', pieces: 4 },
    { part: 'LEG-B', component: 'leg', pieces: 2 },
    { part: 'BOX', component: 'electronics', pieces: 1 },
  ],
};

/** Answers from a plain record of values by item id. */
export function answersOf(values: Readonly<Record<string, AnswerValue>>): Answer[] {
  return Object.entries(values).map(([item, value]) => ({ item, value }));
}
