import { minorDigits } from '../../kernel/currency.js';
import { moneyDecimal, parseMoneyDecimal } from '../../kernel/money.js';

/** An amount as people read it: "1,299.00 USD". @param amountMinor minor units of the currency */
export function showMoney(amountMinor: number, currency: string): string {
  const [whole = '', fraction] = moneyDecimal({ amountMinor, currency }).split('.');
  const grouped = whole.replace(/\B(?=(\d{3})+$)/g, ',').replace(/^-/, '\u2212');
  return `${grouped}${fraction === undefined ? '' : `.${fraction}`} ${currency}`;
}

/**
 * Reads an amount as people type it: with or without grouping commas, a currency code or spaces. More digits than the currency has are
 * refused, never rounded.
 * @returns minor units, or undefined where it is not an amount of that currency of at least 0
 */
export function readMoney(text: string, currency: string): number | undefined {
  const plain = text
    .trim()
    .replace(new RegExp(`\\s*${currency}$`, 'i'), '')
    .replaceAll(/\s/g, '');
  if (!/^(\d+|\d{1,3}(,\d{3})+)(\.\d+)?$/.test(plain)) return undefined;
  return parseMoneyDecimal(plain.replaceAll(',', ''), currency)?.amountMinor;
}

/** An example of how an amount of the currency is typed: "120.00". */
export function moneyExample(currency: string): string {
  return moneyDecimal({ amountMinor: 120 * 10 ** (minorDigits(currency) ?? 2), currency });
}
