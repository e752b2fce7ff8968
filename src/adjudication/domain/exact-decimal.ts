import { minorDigits } from '../../kernel/currency.js';
import { moneyDecimal, scaleMoney, type Money } from '../../kernel/money.js';
import { divideRounded, type Rounding } from '../../kernel/rounding.js';

/** An exact fraction of two integers; the denominator is above zero. */
export interface Ratio {
  readonly numerator: bigint;
  readonly denominator: bigint;
}

/** Reads plain decimal text ("15", "8.25") as an exact fraction; undefined when it is negative, signed or not a decimal. */
export function parseRatio(text: string): Ratio | undefined {
  const match = /^(\d{1,18})(?:\.(\d{1,18}))?$/.exec(text);
  if (!match) return undefined;
  const fraction = match[2] ?? '';
  return { numerator: BigInt(`${match[1]}${fraction}`), denominator: 10n ** BigInt(fraction.length) };
}

/** Reads a percentage from 0 to 100 as an exact fraction of one; undefined outside that range. */
export function parsePercent(text: string): Ratio | undefined {
  const ratio = parseRatio(text);
  if (!ratio || ratio.numerator > ratio.denominator * 100n) return undefined;
  return { numerator: ratio.numerator, denominator: ratio.denominator * 100n };
}

/**
 * An amount scaled by an exact fraction, with the calculation in figures: "899.90 × 15 % = 134.985, rounded half even to 134.98".
 * @param how the left side of the calculation as people write it
 * @throws RangeError when the result does not fit the safe range or the denominator is zero.
 */
export function scaleWithWorking(
  amount: Money,
  by: Ratio,
  rounding: Rounding,
  how: string,
): { readonly amountMinor: number; readonly working: string } {
  const result = scaleMoney(amount, by.numerator, by.denominator, rounding);
  const exactMinor = BigInt(amount.amountMinor) * by.numerator;
  const shown = moneyDecimal(result);
  if (exactMinor % by.denominator === 0n) return { amountMinor: result.amountMinor, working: `${how} = ${shown}` };
  const digits = minorDigits(amount.currency) ?? 0;
  const exact = decimalText(exactMinor, by.denominator * 10n ** BigInt(digits), digits + 6);
  return { amountMinor: result.amountMinor, working: `${how} = ${exact}, rounded ${rounding} to ${shown}` };
}

/** Decimal text of a fraction: exact where it ends within `places` digits, otherwise cut there and marked with "…". */
export function decimalText(numerator: bigint, denominator: bigint, places: number): string {
  const scale = 10n ** BigInt(places);
  const ends = (numerator * scale) % denominator === 0n;
  const cut = divideRounded(numerator * scale, denominator, 'down');
  const sign = cut < 0n ? '-' : '';
  const digits = String(cut < 0n ? -cut : cut).padStart(places + 1, '0');
  const whole = digits.slice(0, digits.length - places);
  const fraction = digits.slice(digits.length - places);
  const kept = ends ? fraction.replace(/0+$/, '') : `${fraction}…`;
  return kept === '' ? sign + whole : `${sign}${whole}.${kept}`;
}
