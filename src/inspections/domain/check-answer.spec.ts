import { describe, expect, it } from 'vitest';
import { answersOf, SMALL, UNIT } from '../../../tests/support/checklists.js';
import type { AnswerValue } from '../inspections.contract.js';
import { checkAnswer, checkAnswers } from './check-answer.js';

const HOLE = answersOf({ marks: ['hole'], 'hole-low': 'yes' });

function faultsOf(item: string, value: AnswerValue): string[] {
  return checkAnswer(SMALL, HOLE, UNIT, { item, value }).map((fault) => fault.pointer);
}

describe('an answer', () => {
  it.each<[string, AnswerValue]>([
    ['people', 2],
    ['people', null],
    ['marks', ['corner', 'hole']],
    ['marks', ['none']],
    ['hole-low', 'no'],
    ['hole-words', 'as wide as a fist'],
    ['serial', 'LC-0042'],
    ['count', { 'LEG-A': 0 }],
    ['seconds', 12.5],
    ['faces', ['photo-1']],
  ])('to %s of %j is in order', (item, value) => {
    expect(faultsOf(item, value)).toEqual([]);
  });

  it.each<[string, string, AnswerValue, string]>([
    ['an unknown item', 'colour', 'red', '#/item'],
    ['a number too small', 'people', 0, '#/value'],
    ['a number too large', 'seconds', 301, '#/value'],
    ['a number in words', 'people', 'two', '#/value'],
    ['no number at all', 'people', Number.NaN, '#/value'],
    ['a bare word for a choice', 'marks', 'corner', '#/value'],
    ['an empty choice', 'marks', [], '#/value'],
    ['an unknown choice', 'marks', ['corner', 'scuff'], '#/value/1'],
    ['a choice named twice', 'marks', ['corner', 'corner'], '#/value/1'],
    ['none together with something', 'marks', ['none', 'hole'], '#/value'],
    ['maybe', 'hole-low', 'maybe', '#/value'],
    ['text too long', 'hole-words', 'a'.repeat(21), '#/value'],
    ['blank text', 'hole-words', '  ', '#/value'],
    ['an empty scan', 'serial', '', '#/value'],
    ['a number for a scan', 'serial', 42, '#/value'],
    ['a part that is not listed', 'count', { 'LEG-A': 4, WHEEL: 1 }, '#/value/WHEEL'],
    ['half a piece', 'count', { 'LEG-A': 0.5 }, '#/value/LEG-A'],
    ['pieces below zero', 'count', { 'LEG-A': -1 }, '#/value/LEG-A'],
    ['an empty count', 'count', {}, '#/value'],
    ['a list for a count', 'count', ['LEG-A'], '#/value'],
    ['a word for photos', 'faces', 'photo-1', '#/value'],
    ['no photos', 'faces', [], '#/value'],
  ])('is refused for %s', (_, item, value, expected) => {
    expect(faultsOf(item, value)).toEqual([expected]);
  });

  it('is refused where its item is not asked, even as not checked', () => {
    const answers = answersOf({ marks: ['corner'] });
    for (const value of ['yes', null])
      expect(checkAnswer(SMALL, answers, UNIT, { item: 'hole-low', value })).toEqual([
        { pointer: '#/item', detail: expect.stringContaining('not asked') as string },
      ]);
  });

  it('may be changed: the old answer to the same item does not stand in its way', () => {
    expect(checkAnswer(SMALL, HOLE, UNIT, { item: 'marks', value: ['corner'] })).toEqual([]);
  });

  it('names one choice where only one can be true', () => {
    const single = structuredClone(SMALL);
    const marks = single.sections[0]?.items[1];
    if (marks?.answer.type !== 'choice') throw new Error('marks');
    Reflect.deleteProperty(marks.answer, 'many');
    expect(checkAnswer(single, [], UNIT, { item: 'marks', value: ['corner', 'hole'] })).toHaveLength(1);
  });

  it('has a note of bounded length', () => {
    const note = 'n'.repeat(2001);
    expect(checkAnswer(SMALL, [], UNIT, { item: 'people', value: 2, note }).map((one) => one.pointer)).toEqual([
      '#/note',
    ]);
  });
});

it('a set of answers reports every fault with its place, and answers given twice', () => {
  const answers = [...answersOf({ marks: ['hole'], seconds: 999 }), { item: 'marks', value: ['corner'] }];
  expect(checkAnswers(SMALL, answers, UNIT).map((one) => one.pointer)).toEqual(['#/1/value', '#/2/item']);
  expect(checkAnswers(SMALL, HOLE, UNIT)).toEqual([]);
});
