import { describe, expect, it } from 'vitest';
import { ageingOf, bandOf, csvRecord, daysOld } from './statement.js';

describe('ageing', () => {
  it.each([
    [-1, '0 to 30'],
    [0, '0 to 30'],
    [30, '0 to 30'],
    [31, '31 to 60'],
    [60, '31 to 60'],
    [61, '61 to 90'],
    [90, '61 to 90'],
    [91, 'over 90'],
  ])('puts %i days into %s', (days, band) => {
    expect(bandOf(days)).toBe(band);
  });

  it('counts whole days of 24 hours', () => {
    expect(daysOld('2026-01-01T12:00:00Z', '2026-02-01T11:59:59Z')).toBe(30);
    expect(daysOld('2026-01-01T12:00:00Z', '2026-02-01T12:00:00Z')).toBe(31);
  });

  it('adds what is owed by currency and band', () => {
    const asOf = '2026-04-01T00:00:00Z';
    const owed = [
      { currency: 'USD', sentAt: '2026-03-20T00:00:00Z', outstandingMinor: 100 },
      { currency: 'EUR', sentAt: '2026-03-20T00:00:00Z', outstandingMinor: 7 },
      { currency: 'USD', sentAt: '2025-12-01T00:00:00Z', outstandingMinor: 40 },
      { currency: 'USD', sentAt: '2026-03-25T00:00:00Z', outstandingMinor: 20 },
    ];
    const none = { '31 to 60': 0, '61 to 90': 0 };
    expect(ageingOf(owed, asOf)).toEqual([
      { currency: 'EUR', bands: { '0 to 30': 7, ...none, 'over 90': 0 }, totalMinor: 7 },
      { currency: 'USD', bands: { '0 to 30': 120, ...none, 'over 90': 40 }, totalMinor: 160 },
    ]);
    expect(ageingOf([], asOf)).toEqual([]);
  });
});

describe('comma-separated values (RFC 4180)', () => {
  it('quote what needs it and end records with CR LF', () => {
    expect(csvRecord(['plain', 'a, b', 'say "no"', 'two\nlines', 5])).toBe(
      'plain,"a, b","say ""no""","two\nlines",5\r\n',
    );
  });

  it('keep a spreadsheet from running a name as a formula', () => {
    expect(csvRecord(['=1+1', '@x', '-5'])).toBe("'=1+1,'@x,'-5\r\n");
    expect(csvRecord([-5])).toBe('-5\r\n');
  });
});
