import { describe, expect, it } from 'vitest';
import { money, moneyDecimal, parseMoneyDecimal, scaleMoney, sumMoney } from './money.js';
import type { Rounding } from './rounding.js';

describe('amounts of money', () => {
  // Digits of ISO 4217 list one.
  it.each([
    ['JPY', 1234, '1234'],
    ['KWD', 1234, '1.234'],
    ['USD', 1234, '12.34'],
    ['CLF', 1234, '0.1234'],
    ['USD', -5, '-0.05'],
    ['EUR', 0, '0.00'],
  ])('%s %i is written %s and read back', (currency, minor, text) => {
    expect(moneyDecimal(money(minor, currency))).toBe(text);
    expect(parseMoneyDecimal(text, currency)).toEqual({ amountMinor: minor, currency });
  });

  it.each(['12.345', '1,20', '1e3', ' 1', '', '.5', '1.', '99999999999999999'])('refuses "%s" as dollars', (text) => {
    expect(parseMoneyDecimal(text, 'USD')).toBeUndefined();
  });

  it('refuses currencies without minor units and amounts that are not whole or not safe', () => {
    expect(() => money(1, 'XXX')).toThrow(RangeError);
    expect(() => money(0.5, 'USD')).toThrow(RangeError);
    expect(() => money(2 ** 53, 'USD')).toThrow(RangeError);
    expect(parseMoneyDecimal('1.00', 'XAU')).toBeUndefined();
  });

  it('knows no negative zero', () => {
    expect(Object.is(money(-0, 'USD').amountMinor, 0)).toBe(true);
    expect(moneyDecimal(scaleMoney(money(-1, 'USD'), 1n, 3n, 'half up'))).toBe('0.00');
    expect(Object.is(parseMoneyDecimal('-0.00', 'USD')?.amountMinor, 0)).toBe(true);
  });

  it('adds one currency only, and only within the safe range', () => {
    expect(sumMoney('USD', [money(1, 'USD'), money(2, 'USD')])).toEqual(money(3, 'USD'));
    expect(sumMoney('USD', [])).toEqual(money(0, 'USD'));
    expect(() => sumMoney('USD', [money(1, 'EUR')])).toThrow(RangeError);
    expect(() => sumMoney('USD', [money(2 ** 53 - 1, 'USD'), money(1, 'USD')])).toThrow(RangeError);
  });
});

describe('rounding of money', () => {
  // CDTFA annotation 490.0160: two published tax figures that are exact ties and went up; the rate of 6.5 % is inferred.
  it('rounds published half-cent ties of sales tax up', () => {
    const [first, second] = [money(15_375_700, 'USD'), money(15_512_500, 'USD')];
    const tax = [first, second].map((price) => scaleMoney(price, 65n, 1000n, 'half up'));
    expect(tax.map(moneyDecimal)).toEqual(['9994.21', '10083.13']);
    expect(moneyDecimal(sumMoney('USD', [first, second, ...tax]))).toBe('328959.34');
    const even = [first, second].map((price) => scaleMoney(price, 65n, 1000n, 'half even'));
    expect(even.map(moneyDecimal)).toEqual(['9994.20', '10083.12']);
  });

  // Ten per cent in currencies with other digits: computed by hand from the digits of ISO 4217.
  it.each<[string, number, bigint, bigint, Rounding, string]>([
    ['JPY', 1255, 1n, 10n, 'half up', '126'],
    ['JPY', 1255, 1n, 10n, 'half even', '126'],
    ['JPY', 1245, 1n, 10n, 'half up', '125'],
    ['JPY', 1245, 1n, 10n, 'half even', '124'],
    ['KWD', 12345, 1n, 10n, 'half up', '1.235'],
    ['KWD', 12345, 1n, 10n, 'half even', '1.234'],
  ])('%s %i × %i/%i %s is %s', (currency, minor, numerator, denominator, rounding, text) => {
    expect(moneyDecimal(scaleMoney(money(minor, currency), numerator, denominator, rounding))).toBe(text);
  });

  // CDTFA annotation 490.0223, Regulation 1655(a): a restocking charge does not reduce the tax given back. Figures worked by hand.
  it('tells full tax back from proportional tax', () => {
    const [price, tax] = [money(100_000, 'USD'), money(8_250, 'USD')];
    const kept = scaleMoney(price, 85n, 100n, 'half up');
    expect(moneyDecimal(sumMoney('USD', [kept, tax]))).toBe('932.50');
    expect(moneyDecimal(sumMoney('USD', [kept, scaleMoney(tax, 85n, 100n, 'half up')]))).toBe('920.13');
  });

  // Tax of three part refunds of 33.33 from 99.99 with tax 7.43: cumulative rounding sums to the tax, rounding each part does not.
  it('refunds tax cumulatively so that the parts add up', () => {
    const tax = money(743, 'USD');
    const upTo = [0n, 3333n, 6666n, 9999n].map((part) => scaleMoney(tax, part, 9999n, 'half up').amountMinor);
    const parts = upTo.slice(1).map((value, i) => value - (upTo[i] ?? 0));
    expect(parts).toEqual([248, 247, 248]);
    expect(scaleMoney(tax, 3333n, 9999n, 'half up').amountMinor * 3).toBe(744);
  });

  // Linear pro rata (Blischke and Murthy): price × (W − x) ÷ W. First three rows as published calculators give them.
  it.each([
    [12_000, 36n, 12n, 8_000],
    [15_000, 48n, 24n, 7_500],
    [15_000, 24n, 12n, 7_500],
    [120_000, 120n, 37n, 83_000],
  ])('pro rata of %i over %i months at month %i is %i', (price, term, age, due) => {
    expect(scaleMoney(money(price, 'USD'), term - age, term, 'half up').amountMinor).toBe(due);
  });

  // Directive (EU) 2019/771 art. 15 and CISG art. 50: price × value as it is ÷ value as promised; 330 × 200 ÷ 300 is published.
  it('reduces a price in proportion to the value', () => {
    expect(moneyDecimal(scaleMoney(money(33_000, 'EUR'), 200n, 300n, 'half even'))).toBe('220.00');
    expect(moneyDecimal(scaleMoney(money(100_000, 'EUR'), 900n, 1200n, 'half even'))).toBe('750.00');
  });

  it('refuses a zero denominator and a result that is too large', () => {
    expect(() => scaleMoney(money(1, 'USD'), 1n, 0n, 'half up')).toThrow(RangeError);
    expect(() => scaleMoney(money(2 ** 53 - 1, 'USD'), 2n, 1n, 'half up')).toThrow(RangeError);
  });
});
