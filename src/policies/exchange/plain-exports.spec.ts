/* oxlint-disable unicorn/no-thenable -- `then` is a key of the document format; a rule is never awaited. */
import { parse } from 'csv-parse/sync';
import { describe, expect, it } from 'vitest';
import { shippedPolicy } from '../../../tests/support/shipped-policy.js';
import { smallDocument } from '../../../tests/support/small-policy.js';
import type { PolicyDocument } from '../policies.contract.js';
import { toCsv } from './csv-export.js';
import { toMarkdown } from './markdown-export.js';
import { namesRead } from './names-read.js';

/** Lines as another reader of RFC 4180 sees them (csv-parse of npm). */
const lines = (text: string): string[][] => parse(text, { relaxColumnCount: true, skipEmptyLines: false });

const ODD = smallDocument([
  {
    id: 'share',
    title: 'Share | of *all*',
    gives: { party: { type: 'enum', values: ['carrier', 'maker'] } },
    table: {
      hit: 'first',
      columns: { part: 'part', days: 'days' },
      rules: [
        {
          id: 'S-1',
          when: { part: '"carton", "leg"' },
          then: { party: 'carrier' },
          because: '=HYPERLINK("http://x")\nsecond line',
          source: '-5 | +x',
        },
      ],
      otherwise: { party: 'maker' },
    },
  },
]);

describe('tables as comma-separated values', () => {
  it('are read by another reader as they were meant, formulas made harmless', () => {
    const read = lines(toCsv(ODD));
    expect(read).toContainEqual(['rule', 'part', 'days', 'party', 'overrides', 'because', 'source']);
    const quotes = '"carton", "leg"';
    expect(read).toContainEqual([
      'S-1',
      quotes,
      '-',
      'carrier',
      '',
      `'=HYPERLINK("http://x")\nsecond line`,
      "'-5 | +x",
    ]);
    expect(read).toContainEqual(['otherwise', '-', '-', 'maker', '', '', '']);
    expect(read).toContainEqual(['notice days', '2026-07-01', '7', '', '', '']);
  });

  it.each(['us', 'eu', 'uk'] as const)(
    'hold every rule, its reason and its source of the shipped policy %s',
    (name) => {
      const { document } = shippedPolicy(name);
      const read = lines(toCsv(document));
      for (const rule of document.decisions.flatMap(({ table }) => table?.rules ?? [])) {
        const row = read.find(([id]) => id === rule.id);
        expect(row?.slice(-2)).toEqual([rule.because ?? '', rule.source ?? '']);
        for (const cell of Object.values(rule.when)) expect(row).toContain(cell);
      }
    },
  );
});

/** Cells of a line of a Markdown table: bars with a backslash before them are text. */
const cellsOf = (line: string): number => line.replaceAll(/\\./g, '').split('|').length - 2;

describe('tables as Markdown', () => {
  const tables = (document: PolicyDocument): string[][] =>
    toMarkdown(document)
      .split('\n\n')
      .filter((block) => block.startsWith('|'))
      .map((block) => block.trimEnd().split('\n'));

  it('keep the same number of cells on every line, whatever the texts hold', () => {
    for (const document of [ODD, shippedPolicy('us').document]) {
      for (const table of tables(document)) {
        expect(new Set(table.map(cellsOf)).size, table[0]).toBe(1);
      }
    }
  });

  it('show caution, title and the words of a rule', () => {
    const text = toMarkdown(ODD);
    expect(text).toContain('> For tests only.');
    expect(text).toContain(String.raw`## Share \| of \*all\*`);
    expect(text).toContain('| otherwise | - | - | maker |');
  });
});

describe('names that texts read', () => {
  it.each([
    [['price paid / 2'], ['price paid']],
    [['<= notice days'], ['notice days']],
    [['"price" = party'], ['party']],
    [['price paid*price'], ['price', 'price paid']],
    [['prices'], []],
  ])('%j reads %j', (texts, names) => {
    expect(namesRead(texts, ['price', 'price paid', 'notice days', 'party', 'days'])).toEqual(names);
  });
});
