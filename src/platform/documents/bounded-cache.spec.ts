import { describe, expect, it } from 'vitest';
import { BoundedCache } from './bounded-cache.js';

describe('a bounded cache', () => {
  it('makes a value once and forgets the one that was not used longest', () => {
    const made: string[] = [];
    const cache = new BoundedCache<string>(2);
    const use = (key: string) => cache.get(key, () => (made.push(key), key));
    for (const key of ['a', 'b', 'a', 'c', 'a', 'b']) expect(use(key)).toBe(key);
    expect(made).toEqual(['a', 'b', 'c', 'b']);
  });
});
