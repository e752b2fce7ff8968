import { money } from '../../kernel/money.js';
import { minorDigits } from '../../kernel/currency.js';
import { divideRounded } from '../../kernel/rounding.js';
import { parseRatio } from './exact-decimal.js';

/**
 * The amount above which a second person must agree, from the policy's decimal in major units. A finer figure than the currency has
 * is cut downwards, so that the wall never stands higher than written.
 * @returns minor units, or undefined when the text is missing or not a plain decimal.
 */
export function secondPersonLimit(text: string | undefined, currency: string): number | undefined {
  const ratio = text === undefined ? undefined : parseRatio(text);
  const digits = minorDigits(currency);
  if (!ratio || digits === undefined) return undefined;
  const minor = divideRounded(ratio.numerator * 10n ** BigInt(digits), ratio.denominator, 'down');
  return minor > BigInt(Number.MAX_SAFE_INTEGER) ? undefined : money(Number(minor), currency).amountMinor;
}

/** Whether a total takes a second person: strictly above the limit. */
export function takesSecondPerson(totalMinor: number, limitMinor: number): boolean {
  return totalMinor > limitMinor;
}
