import { minorDigits } from './currency.js';
import { divideRounded, type Rounding } from './rounding.js';

/** An amount in integer minor units of an ISO 4217 currency. Always within ±(2^53 − 1). */
export interface Money {
  readonly amountMinor: number;
  readonly currency: string;
}

/**
 * Makes an amount of money.
 * @throws RangeError when the amount is not a safe integer or the currency is not on the ISO 4217 list.
 */
export function money(amountMinor: number, currency: string): Money {
  if (!Number.isSafeInteger(amountMinor)) throw new RangeError(`${amountMinor} is not a whole number of minor units`);
  if (minorDigits(currency) === undefined) throw new RangeError(`${currency} is not a currency with minor units`);
  return { amountMinor: amountMinor === 0 ? 0 : amountMinor, currency };
}

/** Sum of amounts of one currency. @throws RangeError on mixed currencies or when the sum leaves the safe range. */
export function sumMoney(currency: string, amounts: readonly Money[]): Money {
  let total = 0n;
  for (const amount of amounts) {
    if (amount.currency !== currency) throw new RangeError(`cannot add ${amount.currency} to ${currency}`);
    total += BigInt(amount.amountMinor);
  }
  return money(safeNumber(total), currency);
}

/** amount × numerator ÷ denominator, rounded once. @throws RangeError on a zero denominator or an unsafe result. */
export function scaleMoney(amount: Money, numerator: bigint, denominator: bigint, rounding: Rounding): Money {
  return money(
    safeNumber(divideRounded(BigInt(amount.amountMinor) * numerator, denominator, rounding)),
    amount.currency,
  );
}

/** `1234` JPY → "1234", `1234` KWD → "1.234": the plain decimal text of an amount, without grouping or sign of currency. */
export function moneyDecimal(amount: Money): string {
  const digits = minorDigits(amount.currency);
  if (digits === undefined) throw new RangeError(`${amount.currency} is not a currency with minor units`);
  const sign = amount.amountMinor < 0 ? '-' : '';
  const text = String(Math.abs(amount.amountMinor)).padStart(digits + 1, '0');
  return digits === 0 ? sign + text : `${sign}${text.slice(0, -digits)}.${text.slice(-digits)}`;
}

/**
 * Reads plain decimal text ("899.90") as an amount. More digits than the currency has are refused, never rounded.
 * @returns undefined where the text is not an amount of that currency.
 */
export function parseMoneyDecimal(text: string, currency: string): Money | undefined {
  const digits = minorDigits(currency);
  const match = /^(-?)(\d{1,16})(?:\.(\d+))?$/.exec(text);
  if (digits === undefined || !match) return undefined;
  const fraction = match[3] ?? '';
  if (fraction.length > digits) return undefined;
  const minor = Number(`${match[2]}${fraction.padEnd(digits, '0')}`);
  if (!Number.isSafeInteger(minor)) return undefined;
  return money(match[1] ? -minor : minor, currency);
}

function safeNumber(value: bigint): number {
  const n = Number(value);
  if (!Number.isSafeInteger(n)) throw new RangeError('amount is too large to keep exactly');
  return n;
}
