import { describe, expect, it } from 'vitest';
import { readMoney, showMoney } from './money-words.js';

// Digits of the minor units as in ISO 4217: JPY 0, USD 2, KWD 3.
describe('amounts as people read and type them', () => {
  it.each([
    [129900, 'USD', '1,299.00 USD'],
    [5, 'EUR', '0.05 EUR'],
    [-129900, 'USD', '\u22121,299.00 USD'],
    [1234567, 'JPY', '1,234,567 JPY'],
    [1234567, 'KWD', '1,234.567 KWD'],
  ])('%i %s is shown as %s', (minor, currency, shown) => {
    expect(showMoney(minor, currency)).toBe(shown);
  });

  it.each([
    ['1,299.00', 'USD', 129900],
    [' 1299 usd ', 'USD', 129900],
    ['0.05', 'EUR', 5],
    ['500', 'JPY', 500],
  ])('%s in %s is %i', (text, currency, minor) => {
    expect(readMoney(text, currency)).toBe(minor);
  });

  it.each([
    ['12.345', 'USD'],
    ['12,34', 'EUR'],
    ['1.5', 'JPY'],
    ['-4', 'USD'],
    ['12 EUR', 'USD'],
    ['', 'USD'],
    ['ten', 'USD'],
  ])('%s in %s is no amount', (text, currency) => {
    expect(readMoney(text, currency)).toBeUndefined();
  });
});
