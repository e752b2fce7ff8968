import { describe, expect, it } from 'vitest';
import { SMALL, UNIT } from '../../tests/support/checklists.js';
import { batchFaults, currentAnswers, mergedHistory, type DatedAnswer } from './answer-history.js';
import type { AnswerValue } from './inspections.contract.js';

const at = (minute: number, item: string, value: AnswerValue): DatedAnswer => ({
  item,
  value,
  answeredAt: `2026-03-02T08:${String(minute).padStart(2, '0')}:00Z`,
});
const faultsOf = (history: readonly DatedAnswer[], batch: readonly DatedAnswer[]) =>
  batchFaults(SMALL, history, batch, UNIT).map((fault) => fault.pointer);

describe('the history of answers', () => {
  it('counts the newest of an item, by when it was given and not by when it came', () => {
    const merged = mergedHistory([at(5, 'people', 2)], [at(4, 'people', 3), at(4, 'faces', null)]);
    expect(currentAnswers(merged)).toEqual([
      { item: 'people', value: 2 },
      { item: 'faces', value: null },
    ]);
  });

  it('counts what came last of answers given at the same instant, also when written with another offset', () => {
    const same = { item: 'people', value: 4, answeredAt: '2026-03-02T10:05:00+02:00' };
    expect(currentAnswers(mergedHistory([at(5, 'people', 2)], [same]))).toEqual([{ item: 'people', value: 4 }]);
  });

  it('judges each answer by what had been answered when it was given', () => {
    const asked = at(1, 'marks', ['hole']);
    const then = at(2, 'hole-low', 'yes');
    const corrected = at(3, 'marks', ['none']);
    expect(faultsOf([], [corrected, then, asked])).toEqual([]);
    expect(faultsOf([asked, corrected], [then])).toEqual([]);
    expect(faultsOf([], [then, corrected])).toEqual(['#/answers/0/item']);
    expect(faultsOf([asked, corrected], [at(4, 'hole-low', 'yes')])).toEqual(['#/answers/0/item']);
  });

  it('finds every fault of a batch', () => {
    expect(faultsOf([], [at(1, 'people', 99), at(1, 'nothing', 'x'), at(1, 'seconds', 'soon')])).toEqual([
      '#/answers/0/value',
      '#/answers/1/item',
      '#/answers/2/value',
    ]);
  });
});
