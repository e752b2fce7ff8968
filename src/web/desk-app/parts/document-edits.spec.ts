import { describe, expect, it } from 'vitest';
import { freeId, listAt, valueAt, withEntry, withMoved, withoutEntry, withValue } from './document-edits.js';

/** The document of RFC 6901, section 5. */
const RFC = { foo: ['bar', 'baz'], '': 0, 'a/b': 1, 'c%d': 2, 'm~n': 8 };

describe('changes of a document by JSON Pointer', () => {
  it('find what RFC 6901, section 5 says stands at its pointers', () => {
    expect(valueAt(RFC, '#')).toBe(RFC);
    expect(valueAt(RFC, '#/foo')).toEqual(['bar', 'baz']);
    expect(valueAt(RFC, '#/foo/0')).toBe('bar');
    expect(valueAt(RFC, '#/a~1b')).toBe(1);
    expect(valueAt(RFC, '#/m~0n')).toBe(8);
    expect(valueAt(RFC, '#/nothing/here')).toBeUndefined();
  });

  it('change nothing in place, and nothing beside', () => {
    const changed = withValue(RFC, '#/foo/1', 'qux');
    expect(changed).toEqual({ ...RFC, foo: ['bar', 'qux'] });
    expect(RFC.foo).toEqual(['bar', 'baz']);
    expect(changed['a/b']).toBe(1);
  });

  it('make what is missing on the way, and take a field away', () => {
    expect(withValue<object>({ a: 1 }, '#/b/c', 2)).toEqual({ a: 1, b: { c: 2 } });
    expect(withValue<object>({ a: 1, b: 2 }, '#/b', undefined)).toEqual({ a: 1 });
  });

  it('add, move and take out entries; an empty list goes unless it has to stay', () => {
    expect(withEntry({ list: ['a'] }, '#/list', 'b')).toEqual({ list: ['a', 'b'] });
    expect(withEntry({}, '#/list', 'a')).toEqual({ list: ['a'] });
    expect(withMoved({ list: ['a', 'b', 'c'] }, '#/list', 0, 2)).toEqual({ list: ['b', 'c', 'a'] });
    const same = { list: ['a', 'b'] };
    expect(withMoved(same, '#/list', 0, -1)).toBe(same);
    expect(withoutEntry({ list: ['a'] }, '#/list', 0)).toEqual({});
    expect(withoutEntry({ list: ['a'] }, '#/list', 0, true)).toEqual({ list: [] });
    expect(listAt({ list: 'no list' }, '#/list')).toEqual([]);
  });

  it('find an id that is not taken', () => {
    expect(freeId('wide', ['close'])).toBe('wide');
    expect(freeId('wide', ['wide', 'wide-2'])).toBe('wide-3');
  });
});
