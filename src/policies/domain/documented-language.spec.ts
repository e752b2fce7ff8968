import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { feel } from '../../../tests/support/feel.js';
import { cellFault, value } from '../../../tests/support/small-policy.js';
import { POLICY_FUNCTIONS } from './policy-functions.js';

const page = readFileSync(new URL('../../../docs/policy-language.md', import.meta.url), 'utf8');

/** Rows of the table below a heading of the page, as their cells without the code marks. */
function rowsBelow(heading: string): string[][] {
  const section = page.split(`\n## ${heading}\n`)[1]?.split('\n## ')[0] ?? '';
  const rows = section.split('\n').filter((line) => line.startsWith('|'));
  return rows.slice(2).map((line) =>
    line
      .split('|')
      .slice(1, -1)
      .map((cell) => cell.trim().replace(/^`(.*)`$/, '$1')),
  );
}

const COLUMNS: Readonly<Record<string, string>> = {
  'a number': 'days',
  'a part': 'part',
  'yes or no': 'noted',
  'a date': 'delivered on',
};
const TYPES = ['boolean', 'decimal', 'date', 'text'] as const;

describe('the page about the language', () => {
  it.each(rowsBelow('Worked'))('%s gives %s', (expression = '', expected = '') => {
    expect(feel(expression)).toBe(expected);
    // The same as an outcome of a policy, whatever type of outcome it fits.
    const outcomes = TYPES.flatMap((type) => {
      try {
        return [String(value(expression, { type }))];
      } catch {
        return [];
      }
    });
    expect(outcomes).toEqual([expected]);
  });

  it.each(rowsBelow('Traps'))('on %s, %s is refused: %s', (on = '', cell = '', sentence = '') => {
    expect(cellFault(COLUMNS[on] ?? '', cell).detail).toContain(sentence);
  });

  it('names every function that a policy may call, and no other', () => {
    const section = page.split('### Functions')[1]?.split('\n## ')[0] ?? '';
    const table = section.split('\n').filter((line) => line.startsWith('|'));
    const named = Array.from(table.join('\n').matchAll(/`([a-z ]+)\(/g), ([, name = '']) => name);
    expect(named.toSorted()).toEqual([...POLICY_FUNCTIONS].toSorted());
  });
});
