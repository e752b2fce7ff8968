import { describe, expect, it } from 'vitest';
import { placeFaults } from './place-faults.js';

const document = {
  decisions: [
    { id: 'first', expression: '1 +' },
    {
      id: 'second',
      table: { columns: { 'a/b': 'x' }, rules: [{ id: 'R1' }, { id: 'R2', when: { 'a/b': '"y' } }], otherwise: {} },
    },
  ],
};
const place = (fault: object) => placeFaults(document, [{ detail: 'Wrong.', ...fault }])[0];

describe('a fault of a policy', () => {
  it.each([
    [{}, '#'],
    [{ decision: 'nobody' }, '#/decisions'],
    [{ decision: 'first' }, '#/decisions/0'],
    [{ decision: 'first', from: 2, to: 3 }, '#/decisions/0/expression'],
    [{ decision: 'second', column: 'a/b' }, '#/decisions/1/table/columns/a~1b'],
    [{ decision: 'second', rule: 'R2' }, '#/decisions/1/table/rules/1'],
    [{ decision: 'second', rule: 'R2', column: 'a/b' }, '#/decisions/1/table/rules/1/when/a~1b'],
    [{ decision: 'second', rule: 'otherwise' }, '#/decisions/1/table/otherwise'],
    [{ decision: 'second', rule: 'otherwise', outcome: 'a/b' }, '#/decisions/1/table/otherwise/a~1b'],
    [{ decision: 'second', rule: 'R2', outcome: 'answer' }, '#/decisions/1/table/rules/1/then/answer'],
    [{ decision: 'second', rule: 'R9' }, '#/decisions/1/table/rules'],
  ])('%j is at %s', (fault, pointer) => {
    expect(place(fault)?.pointer).toBe(pointer);
  });

  it('tells which characters, counted as people count', () => {
    expect(place({ decision: 'first', from: 2, to: 3 })?.detail).toBe('Wrong. (characters 3 to 3)');
    expect(place({ decision: 'first' })?.detail).toBe('Wrong.');
  });

  it('is placed in documents that are no policies at all', () => {
    for (const odd of [null, 7, [], { decisions: {} }, { decisions: [null] }]) {
      expect(placeFaults(odd, [{ decision: 'x', detail: 'Wrong.' }])[0]?.pointer).toBe('#/decisions');
    }
  });
});
