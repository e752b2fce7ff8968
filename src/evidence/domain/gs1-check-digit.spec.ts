import { gtin } from 'cdigit';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { checkDigit, checkDigitFault, gtin14 } from './gs1-check-digit.js';

// Cases of the check-digit tests in gs1/gs1-syntax-dictionary (8, 12, 13, 14 and 18 digits), and well-known samples.
describe('check digits', () => {
  it.each([
    '02345673',
    '416000336108',
    '1234567890128',
    '2112345678900',
    '4006381333931',
    '6291041500213',
    '12345678901231',
    '09521234543213',
    '123456789012345675',
    '006141411234567890',
    '376104250021234569',
  ])('holds for %s', (digits) => {
    expect(checkDigitFault(digits)).toBeUndefined();
  });

  it.each([
    ['12345673', 'wrong check digit'],
    ['416000336109', 'wrong check digit'],
    ['1234567890129', 'wrong check digit'],
    ['12345678901232', 'wrong check digit'],
    ['123456789012345670', 'wrong check digit'],
    ['1234567890I28', 'not all digits'],
    ['12345 7890128', 'not all digits'],
    ['', 'too short'],
    ['5', 'too short'],
  ])('does not hold for %j: %s', (digits, fault) => {
    expect(checkDigitFault(digits)).toBe(fault);
  });

  it('is the one that the cdigit library works out, for any digits', () => {
    const digits = fc
      .array(fc.integer({ min: 0, max: 9 }), { minLength: 7, maxLength: 17 })
      .map((each) => each.join(''));
    fc.assert(
      fc.property(digits, (each) => {
        expect(checkDigit(each)).toBe(gtin.compute(each));
      }),
    );
  });
});

// GTIN forms of the Digital Link tests in gs1/gs1-syntax-engine.
describe('GTINs of all lengths', () => {
  it.each([
    ['02345673', '00000002345673'],
    ['416000336108', '00416000336108'],
    ['2112345678900', '02112345678900'],
    ['12345678901231', '12345678901231'],
  ])('%s reads as %s', (short, long) => {
    expect(gtin14(short)).toBe(long);
  });

  it.each(['2112345678901', '123456789', 'ABC45673', ''])('%j is none', (text) => {
    expect(gtin14(text)).toBeUndefined();
  });

  it('an indicator digit makes another GTIN', () => {
    expect(gtin14('12345678901231')).not.toBe(gtin14('2345678901234'));
  });
});
