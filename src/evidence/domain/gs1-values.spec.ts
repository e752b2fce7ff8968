import { describe, expect, it } from 'vitest';
import { gs1Date, valueFault, valueParts, withDecimals } from './gs1-values.js';

// Dates of the lint_yymmd0 and lint_yymmdd tests in gs1/gs1-syntax-dictionary.
describe('dates of six digits', () => {
  const date = valueParts('N6,date');
  it.each(['200229', '250600', '991225', '000229'])('%s is one', (value) => {
    expect(valueFault(date, value)).toBeUndefined();
  });
  it.each(['200230', '200431', '201310', '200001', '210229'])('%s is none', (value) => {
    expect(valueFault(date, value)).toBe('no such date');
  });
  it('an open day is no exact date', () => {
    expect(valueFault(valueParts('N6,exact'), '250600')).toBe('no such date');
  });

  // General Specifications, section 7.12: 51 to 99 years ahead is the last century, 50 to 99 back the next.
  it.each([
    ['250600', 2026, '2025-06-30'],
    ['240200', 2026, '2024-02-29'],
    ['991225', 2026, '1999-12-25'],
    ['760101', 2026, '2076-01-01'],
    ['770101', 2026, '1977-01-01'],
    ['010101', 2060, '2101-01-01'],
  ])('%s read in %i is %s', (value, year, iso) => {
    expect(gs1Date(value, year)?.toString()).toBe(iso);
  });
  it('what is no date stays none', () => {
    expect(gs1Date('201310', 2026)).toBeUndefined();
    expect(gs1Date('2013', 2026)).toBeUndefined();
  });
});

describe('decimals', () => {
  // The first two are the example of the GS1DigitalLinkToolkit.
  it.each([
    ['000189', 3, '0.189'],
    ['2172', 3, '2.172'],
    ['000085', 0, '85'],
    ['001250', 2, '12.50'],
    ['000000', 0, '0'],
    ['5', 5, '0.00005'],
  ])('%s with %i decimals is %s', (digits, decimals, amount) => {
    expect(withDecimals(digits, decimals)).toBe(amount);
  });
});

describe('characters and lengths', () => {
  it.each([
    ['X..20', 'AB^', 'wrong character'],
    ['X..20', 'AB C', 'wrong character'],
    ['Y..30', 'AB/1-2#', undefined],
    ['Y..30', 'ab', 'wrong character'],
    ['X..20', '', 'empty value'],
    ['X..20', 'A'.repeat(21), 'too long'],
    ['N14,check+N4', '123456789012310102', undefined],
    ['N14,check+N4', '1234567890123101', 'too short'],
    ['N8+N0..4', '26112509', undefined],
    ['N8+N0..4', '261125091530', undefined],
    ['N8+N0..4', '2611250915301', 'too long'],
  ])('%s holding %j: %s', (format, value, fault) => {
    expect(valueFault(valueParts(format), value)).toBe(fault);
  });
  it('a format that nobody wrote is a mistake of ours', () => {
    expect(() => valueParts('Q7')).toThrow('not a format');
  });
});
