import { describe, expect, it } from 'vitest';
import { hasNoMinorUnit, minorDigits } from './currency.js';

const LETTERS = Array.from({ length: 26 }, (_, i) => String.fromCodePoint(65 + i));
const EVERY_CODE = LETTERS.flatMap((a) => LETTERS.flatMap((b) => LETTERS.map((c) => a + b + c)));

describe('minor units of ISO 4217', () => {
  // ISO 4217 list one as republished in datasets/currency-codes (data/codes-all.csv): how many active codes have how many digits.
  it.each([
    [0, 17],
    [2, 139],
    [3, 7],
    [4, 2],
  ])('%i digits: %i codes', (digits, codes) => {
    expect(EVERY_CODE.filter((code) => minorDigits(code) === digits)).toHaveLength(codes);
  });

  it('13 codes of the list have no minor unit, and no code is on two lists', () => {
    const none = EVERY_CODE.filter((code) => hasNoMinorUnit(code));
    expect(none).toHaveLength(13);
    expect(none.filter((code) => minorDigits(code) !== undefined)).toEqual([]);
  });

  // ISO 4217 list one, single rows.
  it.each([
    ['JPY', 0],
    ['ISK', 0],
    ['UGX', 0],
    ['USD', 2],
    ['EUR', 2],
    ['GBP', 2],
    ['HUF', 2],
    ['MRU', 2],
    ['BGN', 2],
    ['XCG', 2],
    ['KWD', 3],
    ['TND', 3],
    ['CLF', 4],
    ['UYW', 4],
    ['XAU', undefined],
    ['XDR', undefined],
    ['XXX', undefined],
    ['XTS', undefined],
    ['DEM', undefined],
    ['usd', undefined],
    ['', undefined],
  ])('%s: %s', (code, digits) => {
    expect(minorDigits(code)).toBe(digits);
  });
});
