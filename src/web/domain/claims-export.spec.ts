import { parse } from 'csv-parse/sync';
import { describe, expect, it } from 'vitest';
import { csvHead, csvLine, EXPORT_COLUMNS, jsonLine, type ExportedLine } from './claims-export.js';

const LINE: ExportedLine = {
  number: '482177305',
  orderReference: '=SUM(A1)',
  model: 'Desk, 140 × 70 "oak"',
  serial: 'KR-1',
  ground: 'damage',
  state: 'decided',
  outcome: 'approved',
  remedies: ['part', 'allowance'],
  totalMinor: 80_916,
  currency: 'USD',
  next: 'The remedy will be ordered.',
  promisedAt: null,
  openedAt: '2026-03-02T10:00:00Z',
  updatedAt: '2026-03-04T10:00:00Z',
};

describe('claims for other programs', () => {
  it('are read by another reader of RFC 4180 (csv-parse) as they were meant', () => {
    const [row] = parse<Record<string, string>>(csvHead(EXPORT_COLUMNS) + csvLine(LINE, EXPORT_COLUMNS), {
      columns: true,
    });
    expect(row).toEqual({
      claim: '482 177 305',
      order: "'=SUM(A1)",
      item: LINE.model,
      serial: 'KR-1',
      about: 'damage',
      state: 'decided',
      outcome: 'approved',
      remedies: 'part; allowance',
      amount: '809.16',
      currency: 'USD',
      next: 'The remedy will be ordered.',
      'next by': '',
      opened: LINE.openedAt,
      changed: LINE.updatedAt,
    });
  });

  it('say nothing of an amount that is only proposed', () => {
    const proposed = JSON.parse(jsonLine({ ...LINE, state: 'proposed', outcome: null }, EXPORT_COLUMNS)) as Record<
      string,
      string
    >;
    expect([proposed['amount'], proposed['remedies']]).toEqual(['', '']);
  });

  it('hold the columns that were chosen, in their order', () => {
    const columns = ['claim', 'next'] as const;
    expect(csvHead(columns) + csvLine(LINE, columns)).toBe('claim,next\r\n482 177 305,The remedy will be ordered.\r\n');
    expect(JSON.parse(jsonLine(LINE, columns))).toEqual({ claim: '482 177 305', next: 'The remedy will be ordered.' });
  });

  it('lead in by an apostrophe whatever a spreadsheet would run, also behind spaces and in wide signs', () => {
    for (const text of ['=1+1', '+1', '-1', '@SUM(A1)', '\t=1', ' =1', '＝1+1', '＋1', '－1', '＠A1']) {
      const line = csvLine({ ...LINE, orderReference: text }, ['order']);
      expect(parse(line)[0]?.[0], text).toBe(`'${text}`);
    }
    expect(csvLine({ ...LINE, orderReference: 'A-1' }, ['order'])).toBe('A-1\r\n');
  });
});
