import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { disagreements, factText, happenedAtMs, isSettled, missingNumbers } from './phone-facts.js';

describe('facts of a phone', () => {
  it('are written the same whatever the order of their fields (RFC 8785, section 3.2.3)', () => {
    const fact = { id: 'a', n: 1, kind: 'answer', at: 't', body: { value: 1, item: 'x' } } as const;
    const turned = { body: { item: 'x', value: 1 }, at: 't', kind: 'answer', n: 1, id: 'a' } as const;
    expect(factText(fact)).toBe('{"at":"t","body":{"item":"x","value":1},"id":"a","kind":"answer","n":1}');
    expect(factText(turned)).toBe(factText(fact));
  });

  it('that are missing are exactly those that were counted and are not here', () => {
    fc.assert(
      fc.property(fc.nat(200), fc.uniqueArray(fc.integer({ min: 1, max: 200 })), (countedTo, here) => {
        const missing = missingNumbers(countedTo, here, Infinity);
        const both = [...missing, ...here.filter((n) => n <= countedTo)].toSorted((a, b) => a - b);
        expect(both).toEqual(Array.from({ length: countedTo }, (_none, index) => index + 1));
      }),
    );
    expect(missingNumbers(1_000_000, [], 3)).toEqual([1, 2, 3]);
  });

  it.each([
    ['a clock that is right enough stands', 500_000, 600, 500_000],
    ['one that runs an hour ahead is put back', 4_600_000, 3600, 1_000_000],
    ['one that runs an hour behind is put forward', -2_700_000, -3600, 900_000],
    ['nothing lies in the future', 1_300_000, 300, 1_000_000],
  ])('%s', (_what, at, ahead, stands) => {
    expect(happenedAtMs(at, ahead, 1_000_000)).toBe(stands);
  });

  it('of two phones differ only where their newest answers do', () => {
    const said = (fact: string, phone: string, item: string, value: unknown) => ({ fact, phone, item, value });
    expect(
      disagreements([said('1', 'a', 'x', 1), said('2', 'a', 'x', 2), said('3', 'b', 'x', 2), said('4', 'a', 'y', 1)]),
    ).toEqual([]);
    const [first, second] = [said('1', 'a', 'x', ['p']), said('2', 'b', 'x', ['q'])] as const;
    expect(disagreements([first, second])).toEqual([{ item: 'x', answers: [first, second] }]);
    expect(isSettled([first, second], ['2', '1'])).toBe(true);
    // A phone that changes its mind afterwards opens the matter again.
    expect(isSettled([first, said('3', 'b', 'x', ['r'])], ['2', '1'])).toBe(false);
  });
});
