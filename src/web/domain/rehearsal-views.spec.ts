import { describe, expect, it } from 'vitest';
import { beforeAndAfter, factsInWords, pairQuestions, partiesByChange, turnTable } from './rehearsal-views.js';

const turn = (was: string, becomes: string, claims: number) => ({ was, becomes, claims, money: [] });

// Worked by hand.
describe('from what to what', () => {
  const turns = [
    turn('refund', 'refund', 5),
    turn('refund', 'part', 3),
    turn('part', 'part', 2),
    turn('unit', 'refund', 1),
  ];

  it('is a table whose order is the same on both sides, with sums of rows and columns', () => {
    // refund 5 + 3 before, 5 + 1 after: 14; part 2 before, 3 + 2 after: 7; unit 1.
    expect(turnTable(turns)).toEqual({
      columns: ['refund', 'part'],
      rows: [
        { was: 'refund', claims: [5, 3], all: 8 },
        { was: 'part', claims: [0, 2], all: 2 },
        { was: 'unit', claims: [1, 0], all: 1 },
      ],
      totals: [6, 5],
      all: 11,
    });
    expect(turnTable([])).toEqual({ columns: [], rows: [], totals: [], all: 0 });
  });

  it('counts each value before and after, also one that is no longer given', () => {
    expect(beforeAndAfter(turns)).toEqual([
      { value: 'refund', before: 8, after: 6 },
      { value: 'part', before: 2, after: 5 },
      { value: 'unit', before: 1, after: 0 },
    ]);
  });
});

describe('parties', () => {
  it('stand with most changed claims first', () => {
    const party = (name: string, claims: number, changed: number) => ({ name, claims, changed, money: [] });
    const all = [party('B', 9, 1), party('A', 9, 1), party('C', 4, 3), party('D', 12, 1)];
    expect(partiesByChange(all).map(({ name }) => name)).toEqual(['C', 'D', 'A', 'B']);
  });
});

describe('questions under two versions', () => {
  const question = (option: string, outcomes: Record<string, unknown>, rule: string, about = 'leg 1') => ({
    about,
    given: { option },
    asked: ['terms'],
    outcomes,
    rules: [{ decision: 'terms', rule }],
  });

  it('are paired by what was asked; what differs in outcome or rule, or stands on one side only, is not alike', () => {
    const was = [
      question('refund', { percent: '10' }, 'T-1'),
      question('part', { rank: 1 }, 'T-2'),
      question('unit', {}, 'T-9'),
    ];
    const becomes = [
      question('part', { rank: 1 }, 'T-2'),
      question('refund', { percent: '12' }, 'T-1'),
      question('visit', {}, 'T-3'),
    ];
    const pairs = pairQuestions(was, becomes);
    expect(pairs.map(({ was: a, becomes: b, alike }) => [a?.given.option, b?.given.option, alike])).toEqual([
      ['part', 'part', true],
      ['refund', 'refund', false],
      [undefined, 'visit', false],
      ['unit', undefined, false],
    ]);
    expect(new Set(pairs.map(({ key }) => key)).size).toBe(4);
    const [pair] = pairQuestions([question('refund', {}, 'T-1')], [question('refund', {}, 'T-5')]);
    expect(pair?.alike).toBe(false);
  });

  it('asked twice are paired in order', () => {
    const [a, b] = [question('refund', { n: 1 }, 'T-1'), question('refund', { n: 2 }, 'T-1')];
    expect(pairQuestions([a, b], [a, b]).map(({ alike }) => alike)).toEqual([true, true]);
  });
});

it('facts are told by name and value', () => {
  expect(factsInWords({ option: 'refund', wished: true, days: 3 })).toBe('option refund, wished yes, days 3');
});
