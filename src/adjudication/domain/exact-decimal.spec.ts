import fc from 'fast-check';
import { Decimal } from 'decimal.js';
import { describe, expect, it } from 'vitest';
import { decimalText, parsePercent, parseRatio, scaleWithWorking } from './exact-decimal.js';

describe('exact decimals', () => {
  it.each(['', '-1', '+1', '1.', '.5', '1e3', ' 1', '1,5', 'NaN', '0x10', '1234567890123456789'])(
    'refuse %j, which is not plain decimal text',
    (text) => {
      expect(parseRatio(text)).toBeUndefined();
    },
  );

  it('read percentages from 0 to 100 only', () => {
    expect(parsePercent('100')).toBeDefined();
    expect(parsePercent('100.000000000000001')).toBeUndefined();
    expect(parsePercent('0')).toEqual({ numerator: 0n, denominator: 100n });
  });

  it('write a fraction exactly where it ends and mark it where it is cut', () => {
    expect(decimalText(134_985n, 1_000n, 6)).toBe('134.985');
    expect(decimalText(1n, 3n, 4)).toBe('0.3333…');
    expect(decimalText(-1n, 8n, 4)).toBe('-0.125');
    expect(decimalText(0n, 7n, 4)).toBe('0');
  });

  it('show the calculation in figures', () => {
    const price = { amountMinor: 89_990, currency: 'EUR' };
    expect(scaleWithWorking(price, { numerator: 15n, denominator: 100n }, 'half even', '899.90 × 15 %').working).toBe(
      '899.90 × 15 % = 134.985, rounded half even to 134.98',
    );
    expect(scaleWithWorking(price, { numerator: 1n, denominator: 3n }, 'down', '899.90 × 1 ÷ 3').working).toBe(
      '899.90 × 1 ÷ 3 = 299.96666666…, rounded down to 299.96',
    );
  });

  it('agree with decimal.js on amount × percentage for any amount and percentage, half up and half even', () => {
    fc.assert(
      fc.property(
        fc.integer({ min: 0, max: 10_000_000_000 }),
        fc.integer({ min: 0, max: 10_000_000 }).map((n) => new Decimal(n).div(100_000).toFixed()),
        (amountMinor, percent) => {
          const by = parsePercent(percent) ?? { numerator: -1n, denominator: 1n };
          const exact = new Decimal(amountMinor).mul(percent).div(100);
          const money = { amountMinor, currency: 'USD' };
          expect(scaleWithWorking(money, by, 'half up', '').amountMinor).toBe(
            exact.toDecimalPlaces(0, Decimal.ROUND_HALF_UP).toNumber(),
          );
          expect(scaleWithWorking(money, by, 'half even', '').amountMinor).toBe(
            exact.toDecimalPlaces(0, Decimal.ROUND_HALF_EVEN).toNumber(),
          );
        },
      ),
    );
  });
});
