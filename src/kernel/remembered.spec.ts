import { describe, expect, it } from 'vitest';
import { Remembered } from './remembered.js';

/** Remembers a function that counts how often it has to work. */
function counted(most: number): { readonly memory: Remembered<string | number, string>; readonly worked: string[] } {
  const worked: string[] = [];
  const memory = new Remembered<string | number, string>(most, (value) => {
    if (value === 'bad') throw new RangeError('bad');
    worked.push(`${typeof value} ${value}`);
    return `${value}!`;
  });
  return { memory, worked };
}

describe('a remembered function', () => {
  it('works once for a value, and takes 1 and "1" for two', () => {
    const { memory, worked } = counted(10);
    expect([1, '1', 1, '1'].map((value) => memory.of(value))).toEqual(['1!', '1!', '1!', '1!']);
    expect(worked).toEqual(['number 1', 'string 1']);
  });

  it('starts afresh when it is full, and still answers alike', () => {
    const { memory, worked } = counted(2);
    expect(['a', 'b', 'c', 'a'].map((value) => memory.of(value))).toEqual(['a!', 'b!', 'c!', 'a!']);
    expect(worked).toHaveLength(4);
  });

  it('refuses a bad value every time', () => {
    const { memory } = counted(2);
    expect(() => memory.of('bad')).toThrow(RangeError);
    expect(() => memory.of('bad')).toThrow(RangeError);
  });
});
