import { mod11_10 } from 'cdigit';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { claimNumber, mod1110CheckDigit, parseClaimNumber, showClaimNumber } from './claim-number.js';

const serials = fc.integer({ min: 0, max: 99_999_999 });

describe('ISO/IEC 7064 MOD 11,10', () => {
  // The worked example of the standard, from memory.
  it('gives 5 for 0794', () => {
    expect(mod1110CheckDigit('0794')).toBe('5');
  });

  // cdigit is an independent implementation of the standard's eight systems.
  it('agrees with an independent implementation', () => {
    const digits = fc.array(fc.nat(9), { minLength: 1, maxLength: 30 }).map((d) => d.join(''));
    fc.assert(
      fc.property(digits, (text) => {
        expect(mod1110CheckDigit(text)).toBe(mod11_10.compute(text));
      }),
      { numRuns: 5000 },
    );
  });

  it.each(['', '12a', ' 1', '-1', '١'])('refuses "%s"', (text) => {
    expect(() => mod1110CheckDigit(text)).toThrow(RangeError);
  });
});

describe('claim numbers', () => {
  it('finds every single wrong digit', () => {
    fc.assert(
      fc.property(serials, (serial) => {
        const number = claimNumber(serial);
        for (let at = 0; at < number.length; at += 1) {
          for (const digit of '0123456789') {
            const typed = number.slice(0, at) + digit + number.slice(at + 1);
            expect(parseClaimNumber(typed)).toBe(digit === number[at] ? number : undefined);
          }
        }
      }),
      { numRuns: 200 },
    );
  });

  it('finds all but a few swaps of neighbours', () => {
    let swaps = 0;
    let missed = 0;
    for (let serial = 0; serial < 100_000_000; serial += 99_991) {
      const number = claimNumber(serial);
      for (let at = 0; at + 1 < number.length; at += 1) {
        if (number[at] === number[at + 1]) continue;
        swaps += 1;
        const typed = number.slice(0, at) + number[at + 1] + number[at] + number.slice(at + 2);
        if (parseClaimNumber(typed) !== undefined) missed += 1;
      }
    }
    expect(missed / swaps).toBeLessThan(0.03);
  });

  it('reads what it shows, and what people write', () => {
    fc.assert(
      fc.property(serials, (serial) => {
        const number = claimNumber(serial);
        expect(number).toMatch(/^\d{9}$/);
        expect(parseClaimNumber(showClaimNumber(number))).toBe(number);
        expect(parseClaimNumber(` ${number.slice(0, 4)}-${number.slice(4)}. `)).toBe(number);
      }),
    );
  });

  it.each(['', '12345678', '1234567890', 'abcdefghi'])('refuses "%s"', (text) => {
    expect(parseClaimNumber(text)).toBeUndefined();
  });

  it('refuses serials that do not fit', () => {
    expect(() => claimNumber(-1)).toThrow(RangeError);
    expect(() => claimNumber(100_000_000)).toThrow(RangeError);
    expect(() => claimNumber(1.5)).toThrow(RangeError);
  });
});
