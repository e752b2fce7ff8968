import { describe, expect, it } from 'vitest';
import { csvField, csvRow } from './csv-fields.js';

// Quoting: RFC 4180 section 2, rules 5 to 7, and its own examples. Formulas: the leading characters that OWASP lists under "CSV Injection".
describe('comma-separated values', () => {
  it('quotes what would end a field, and doubles quotes', () => {
    expect(csvRow(['aaa', 'b\r\nbb', 'ccc'])).toBe('aaa,"b\r\nbb",ccc\r\n');
    expect(csvRow(['aaa', 'b"bb', 'c,c'])).toBe('aaa,"b""bb","c,c"\r\n');
  });

  it('lets no spreadsheet run a text, and leaves numbers alone', () => {
    for (const text of ['=1+1', '+1', '-1', '@SUM(A1)', '\tx']) expect(csvField(text)).toBe(`'${text}`);
    expect(csvField('\rx')).toBe('"\'\rx"');
    expect(csvField(-1.5)).toBe('-1.5');
  });
});
