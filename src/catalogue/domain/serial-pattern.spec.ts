import { describe, expect, it } from 'vitest';
import { serialMatches, serialPatternFault } from './serial-pattern.js';

describe('a serial pattern', () => {
  it.each([
    '^DR7[A-HJ-NP-Z][0-9]{6}$',
    '^HE4[0-9]{2}-[0-9]{5}$',
    '^(KL|KU)\\d{8}$',
    '^A[\\]x]?\\.\\d{1,4}$',
    '^(?:A|B(C|D))[0-9]+$',
  ])('may be %s', (pattern) => {
    expect(serialPatternFault(pattern)).toBeUndefined();
  });

  it.each([
    ['DR7[0-9]{6}$', 'must start with ^'],
    ['^DR7[0-9]{6}', 'must start with ^'],
    ['^DR7\\$', 'must start with ^'],
    ['^A|B$', 'must put alternatives into a group'],
    ['^(a+)+$', 'must not repeat a group'],
    ['^(?:ab){2}$', 'must not repeat a group'],
    ['^(?=A)A$', 'must not use look-around'],
    ['^(?<n>A)$', 'must not use look-around'],
    ['^(A)\\1$', 'must not use \\1'],
    ['^\\p{L}$', 'must not use \\p'],
    ['^A^B$', 'must use ^ and $ only'],
    ['^[A-Z$', 'is not a regular expression'],
    ['^[0-9]{100}$', 'must not repeat more than'],
    ['^[0-9]*[0-9]*[0-9]*$', 'leaves too many ways'],
    [`^${'a'.repeat(200)}$`, 'must have at most 200'],
  ])('must not be %s', (pattern, says) => {
    expect(serialPatternFault(pattern)).toContain(says);
  });

  it('describes the whole serial number', () => {
    expect(serialMatches('^KR[0-9]{8}$', 'KR12345678')).toBe(true);
    expect(serialMatches('^KR[0-9]{8}$', 'KR12345678\n')).toBe(false);
    expect(serialMatches('^KR[0-9]{8}$', 'xKR12345678')).toBe(false);
  });

  it('is never run on text longer than any serial number', () => {
    expect(serialMatches('^[0-9]+$', '1'.repeat(64))).toBe(true);
    expect(serialMatches('^[0-9]+$', '1'.repeat(65))).toBe(false);
  });
});
