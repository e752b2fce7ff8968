import { parse } from 'csv-parse/sync';
import { describe, expect, it } from 'vitest';
import { CSV_HEAD, csvLine, jsonLine, type ExportedLine } from './claims-export.js';

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
  dueAt: null,
  openedAt: '2026-03-02T10:00:00Z',
  updatedAt: '2026-03-04T10:00:00Z',
};

describe('claims for other programs', () => {
  it('are read by another reader of RFC 4180 (csv-parse) as they were meant', () => {
    const [row] = parse<Record<string, string>>(CSV_HEAD + csvLine(LINE), { columns: true });
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
      'next by': '',
      opened: LINE.openedAt,
      changed: LINE.updatedAt,
    });
  });

  it('say nothing of an amount that is only proposed', () => {
    const proposed = JSON.parse(jsonLine({ ...LINE, state: 'proposed', outcome: null })) as Record<string, string>;
    expect([proposed['amount'], proposed['remedies']]).toEqual(['', '']);
  });
});
