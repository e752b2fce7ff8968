import { describe, expect, it } from 'vitest';
import { bodyFault } from './body-sanity.js';

describe('what no body may hold', () => {
  it('is nothing that a usual body has', () => {
    expect(bodyFault({ a: ['é😀\u0000', 1.5, null, true, { b: {} }] })).toBeUndefined();
    expect(bodyFault(undefined)).toBeUndefined();
  });

  it.each([
    ['a number that is no double', '{"a": [1, 1e999]}', '#/a/1'],
    ['half a character', '{"a/b": "\\ud800"}', '#/a~1b'],
    ['half a character in a name', '{"a": {"\\udc00": 1}}', '#/a'],
    ['a hundred thousand levels', '['.repeat(100_000) + ']'.repeat(100_000), '#'],
  ])('is %s', (_name, json, pointer) => {
    expect(bodyFault(JSON.parse(json) as unknown)?.pointer).toBe(pointer);
  });
});
