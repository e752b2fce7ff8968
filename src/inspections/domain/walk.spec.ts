import fc from 'fast-check';
import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { answersOf, SMALL, UNIT } from '../../../tests/support/checklists.js';
import type { AnswerValue, Checklist, ChecklistItem } from '../inspections.contract.js';
import { checkAnswer, checkAnswers } from './check-answer.js';
import { checkChecklist } from './check-checklist.js';
import { askedItems, itemsOf, nextItem, observationsFrom, owedPhotos, raisedStops } from './walk.js';

function shipped(id: string): Checklist {
  const read = checkChecklist(JSON.parse(readFileSync(new URL(`../shipped/${id}.1.json`, import.meta.url), 'utf8')));
  if (!read.ok) throw new Error(JSON.stringify(read.faults));
  return read.value;
}

const ids = (items: readonly ChecklistItem[]): string[] => items.map((item) => item.id);
const asked = (values: Record<string, AnswerValue>): string[] => ids(askedItems(SMALL, answersOf(values), UNIT));
const seen = (values: Record<string, AnswerValue>) => observationsFrom(SMALL, answersOf(values), UNIT);

describe('the items asked', () => {
  it('leave out those whose condition does not hold, two deep', () => {
    const always = ['people', 'marks', 'serial', 'count', 'seconds', 'faces'];
    expect(asked({})).toEqual(always);
    expect(asked({ marks: ['hole'] })).toEqual(['people', 'marks', 'hole-low', ...always.slice(2)]);
    expect(asked({ marks: ['hole'], 'hole-low': 'yes' })).toContain('hole-words');
    // The answer about the hole stands, but the hole is gone: neither it nor what hangs on it is asked.
    expect(asked({ marks: ['corner'], 'hole-low': 'yes' })).toEqual(always);
  });

  it('come one after the other until all are answered; not checked is an answer', () => {
    expect(nextItem(SMALL, [], UNIT)?.id).toBe('people');
    expect(nextItem(SMALL, answersOf({ people: 2, marks: ['hole'] }), UNIT)?.id).toBe('hole-low');
    expect(nextItem(SMALL, answersOf({ people: 2, marks: null }), UNIT)?.id).toBe('serial');
    const all = { people: 2, marks: ['none'], serial: null, count: null, seconds: null, faces: null };
    expect(nextItem(SMALL, answersOf(all), UNIT)).toBeUndefined();
  });
});

describe('the observations', () => {
  it.each<[string, Record<string, AnswerValue>, readonly string[], readonly string[]]>([
    ['nothing answered', {}, [], []],
    ['not checked', { marks: null, serial: null, count: null, seconds: null }, [], []],
    ['a corner', { marks: ['corner'] }, ['corner-crushed'], ['hole']],
    ['both marks', { marks: ['hole', 'corner'] }, ['corner-crushed', 'hole'], []],
    ['no marks', { marks: ['none'] }, [], ['corner-crushed', 'hole']],
    ['an answer no longer asked', { marks: ['none'], 'hole-low': 'yes' }, [], ['corner-crushed', 'hole']],
    ['the right serial in other letters', { serial: ' lc-0042 ' }, [], ['serial-differs']],
    ['another serial', { serial: 'LC-0043' }, ['serial-differs'], []],
    ['at the tolerance', { seconds: 90 }, [], ['late']],
    ['beyond the tolerance', { seconds: 90.5 }, ['late'], []],
    ['all legs there', { count: { 'LEG-A': 4, 'LEG-B': 2 } }, [], ['legs-short']],
    ['more legs than listed', { count: { 'LEG-A': 5, 'LEG-B': 2 } }, [], ['legs-short']],
    ['one leg short', { count: { 'LEG-A': 3, 'LEG-B': 2 } }, ['legs-short'], []],
    ['one sort short, the other not counted', { count: { 'LEG-A': 3 } }, ['legs-short'], []],
    ['one sort whole, the other not counted', { count: { 'LEG-A': 4 } }, [], []],
    ['only other parts counted', { count: { BOX: 0 } }, [], []],
  ])('of %s', (_, values, present, absent) => {
    expect(seen(values)).toEqual({ present, absent });
  });

  it('never call absent what no part of the packing list could show', () => {
    // There is no motor on the packing list, so its count can be neither short nor whole.
    expect(seen({ count: { 'LEG-A': 4, 'LEG-B': 2, BOX: 1 } }).absent).not.toContain('motors-short');
  });

  it('take two different answers to one item as not checked, whichever came first', () => {
    const twice = [
      { item: 'seconds', value: 20 },
      { item: 'seconds', value: 200 },
    ];
    expect(observationsFrom(SMALL, twice, UNIT)).toEqual({ present: [], absent: [] });
    expect(observationsFrom(SMALL, [...twice].reverse(), UNIT)).toEqual({ present: [], absent: [] });
  });
});

describe('safety stops', () => {
  it('are raised once each, in the order of the items', () => {
    expect(raisedStops(SMALL, answersOf({ seconds: 300, people: 1 }), UNIT).map((stop) => stop.id)).toEqual([
      'alone',
      'dead',
    ]);
    expect(raisedStops(SMALL, answersOf({ seconds: 200, people: 2 }), UNIT)).toEqual([]);
    expect(raisedStops(SMALL, answersOf({ seconds: null, people: null }), UNIT)).toEqual([]);
  });

  it.each<[string, Record<string, AnswerValue>]>([
    ['alone-with-two-person-lift', { 'crew-size': 1 }],
    ['crushed-or-hot-supply', { 'supply-state': 'yes' }],
    ['bare-conductor', { 'bare-conductor': 'yes' }],
    ['bare-conductor', { 'in-the-way': ['cable'] }],
    ['wet-electronics', { 'plug-traces': ['water'] }],
    ['frame-may-give-way', { 'frame-damage': ['weld-open'] }],
    ['pinch-while-turning', { 'time-in-use': ['new-today'], 'hands-clear': 'no' }],
    [
      'moves-by-itself',
      {
        'supply-state': 'no',
        'bare-conductor': 'no',
        'plug-traces': ['none'],
        'in-the-way': ['none'],
        'supply-light': ['on'],
        'moves-by-itself': 'yes',
      },
    ],
  ])('of the shipped lists include %s', (stop, values) => {
    for (const id of ['bed-base', 'standing-desk', 'lift-chair'])
      expect(raisedStops(shipped(id), answersOf(values), UNIT).map((one) => one.id)).toContain(stop);
  });

  it.each<Record<string, AnswerValue>>([
    { 'supply-state': 'yes', 'bare-conductor': 'no', 'plug-traces': ['none'], 'in-the-way': ['none'] },
    { 'supply-state': 'no', 'bare-conductor': 'yes', 'plug-traces': ['none'], 'in-the-way': ['none'] },
    { 'supply-state': 'no', 'bare-conductor': 'no', 'plug-traces': ['water'], 'in-the-way': ['none'] },
    { 'supply-state': 'no', 'bare-conductor': 'no', 'plug-traces': ['none'], 'in-the-way': ['cable'] },
    { 'supply-state': null, 'bare-conductor': 'no', 'plug-traces': ['none'], 'in-the-way': ['none'] },
  ])('of the shipped lists keep the crew from plugging in: %j', (values) => {
    for (const id of ['bed-base', 'standing-desk', 'lift-chair']) {
      const powered = ids(askedItems(shipped(id), answersOf({ ...values, 'supply-light': ['on'] }), UNIT));
      for (const item of ['supply-light', 'ready-seconds', 'handset', 'moves-by-itself', 'motor-moves'])
        expect(powered).not.toContain(item);
    }
  });
});

describe('photos owed', () => {
  it('are those without a condition, and those whose condition the answer passes', () => {
    expect(owedPhotos(SMALL, [], UNIT, [])).toEqual([{ item: 'marks', demand: 'wide' }]);
    expect(owedPhotos(SMALL, answersOf({ marks: ['hole'], 'hole-low': 'yes' }), UNIT, [])).toEqual([
      { item: 'marks', demand: 'wide' },
      { item: 'marks', demand: 'close' },
      { item: 'hole-low', demand: 'close' },
    ]);
  });

  it('are settled only by a photo of the same item that shows what was demanded', () => {
    const answers = answersOf({ marks: ['corner'] });
    const photos = [
      { item: 'marks', shows: 'wide' },
      { item: 'hole-low', shows: 'close' },
    ];
    expect(owedPhotos(SMALL, answers, UNIT, photos)).toEqual([{ item: 'marks', demand: 'close' }]);
  });

  it('are not owed for items that are not asked, nor by condition for what was not checked', () => {
    expect(owedPhotos(SMALL, answersOf({ marks: null, 'hole-low': 'yes' }), UNIT, [])).toEqual([
      { item: 'marks', demand: 'wide' },
    ]);
  });
});

/** Some valid answer to an item, or not checked. */
function anyAnswer(item: ChecklistItem): fc.Arbitrary<AnswerValue> {
  const kind = item.answer;
  switch (kind.type) {
    case 'yes-no':
      return fc.constantFrom<AnswerValue>('yes', 'no', null);
    case 'choice':
      return fc.constantFrom<AnswerValue>(...kind.choices.map((choice) => [choice.id]), null);
    case 'number':
      return fc.integer({ min: kind.min, max: kind.max });
    case 'count':
      return fc.constantFrom<AnswerValue>({ 'LEG-A': 4, 'LEG-B': 2, BOX: 1 }, { 'LEG-A': 3 }, { BOX: 0 }, null);
    case 'scan':
      return fc.constantFrom<AnswerValue>('LC-0042', 'LC-0001', null);
    case 'text':
      return fc.constantFrom<AnswerValue>('words', null);
    case 'photo':
      return fc.constantFrom<AnswerValue>(['photo-1'], null);
  }
}

describe.each(['bed-base', 'standing-desk', 'lift-chair'])('any walk through %s', (id) => {
  const checklist = shipped(id);
  const walk = fc.tuple(...itemsOf(checklist).map((item) => fc.option(anyAnswer(item), { nil: undefined })));
  const answersFor = (values: readonly (AnswerValue | undefined)[]) =>
    itemsOf(checklist).flatMap((item, i) => {
      const value = values[i];
      return value === undefined ? [] : [{ item: item.id, value }];
    });

  it('comes to the same whatever the order of the answers', () => {
    const twoOrders = walk
      .map(answersFor)
      .chain((answers) => fc.tuple(fc.constant(answers), fc.shuffledSubarray(answers, { minLength: answers.length })));
    fc.assert(
      fc.property(twoOrders, ([answers, mixed]) => {
        expect(ids(askedItems(checklist, mixed, UNIT))).toEqual(ids(askedItems(checklist, answers, UNIT)));
        expect(observationsFrom(checklist, mixed, UNIT)).toEqual(observationsFrom(checklist, answers, UNIT));
        expect(raisedStops(checklist, mixed, UNIT)).toEqual(raisedStops(checklist, answers, UNIT));
      }),
      { numRuns: 60 },
    );
  });

  it('never un-asks an item, nor asks a new one before it, by answering a later one', () => {
    const place = new Map(itemsOf(checklist).map((item, i) => [item.id, i]));
    fc.assert(
      fc.property(walk.map(answersFor), fc.nat(), (answers, pick) => {
        const one = answers[pick % Math.max(1, answers.length)];
        const upTo = (list: readonly ChecklistItem[]): string[] =>
          ids(list).filter((id) => (place.get(id) ?? 0) <= (place.get(one?.item ?? '') ?? 0));
        const without = answers.filter((answer) => answer !== one);
        expect(upTo(askedItems(checklist, answers, UNIT))).toEqual(upTo(askedItems(checklist, without, UNIT)));
      }),
      { numRuns: 60 },
    );
  });

  it('finds the same faults of all answers at once as of each answer beside the others', () => {
    fc.assert(
      fc.property(walk.map(answersFor), (answers) => {
        const oneByOne = answers.flatMap((answer, index) =>
          checkAnswer(checklist, answers, UNIT, answer).map(({ pointer, detail }) => ({
            pointer: `#/${index}${pointer.slice(1)}`,
            detail,
          })),
        );
        expect(checkAnswers(checklist, answers, UNIT)).toEqual(oneByOne);
      }),
      { numRuns: 60 },
    );
  });

  it('ends when each next item is answered, accepts every answer on the way, and never sees what was not checked', () => {
    fc.assert(
      fc.property(walk, (values) => {
        const value = new Map(itemsOf(checklist).map((item, i) => [item.id, values[i] ?? null]));
        const answers: { item: string; value: AnswerValue }[] = [];
        for (let item = nextItem(checklist, [], UNIT); item !== undefined; item = nextItem(checklist, answers, UNIT)) {
          const answer = { item: item.id, value: value.get(item.id) ?? null };
          expect(checkAnswer(checklist, answers, UNIT, answer)).toEqual([]);
          answers.push(answer);
          expect(answers.length).toBeLessThanOrEqual(value.size);
        }
        const { present, absent } = observationsFrom(checklist, answers, UNIT);
        const unchecked = new Set(answers.filter((one) => one.value === null).map((one) => one.item));
        for (const item of itemsOf(checklist))
          for (const one of item.yields ?? [])
            if (unchecked.has(item.id) || !answers.some((answer) => answer.item === item.id))
              expect([...present, ...absent]).not.toContain(one.observation);
        expect(present.filter((one) => absent.includes(one))).toEqual([]);
      }),
      { numRuns: 40 },
    );
  });
});
