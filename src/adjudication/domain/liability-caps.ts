import { minorDigits } from '../../kernel/currency.js';
import { money, moneyDecimal } from '../../kernel/money.js';
import { divideRounded, type Rounding } from '../../kernel/rounding.js';
import { decimalText, parseRatio, type Ratio } from './exact-decimal.js';

/** What limits that which a party can be made to pay. */
export const CAP_BASES = ['none', 'released', 'declared', 'sdr per kg', 'sdr package or kg'] as const;
export type CapBasis = (typeof CAP_BASES)[number];

/** Currency of the amounts and how a limit is rounded, once, at the end. */
export interface LimitMoney {
  readonly currency: string;
  readonly rounding: Rounding;
}

/** A limit with the calculation in figures. */
export interface Limit {
  readonly limitMinor: number;
  /** Special drawing rights to two decimals, where the limit is worked out in them. */
  readonly sdr: string | null;
  readonly working: string;
}

/** Grams in one avoirdupois pound, exactly (international yard and pound agreement of 1959). */
const GRAMS_PER_POUND: Ratio = { numerator: 45_359_237n, denominator: 100_000n };

/** Pounds as freight papers write them, to two decimals, half up. @param grams whole grams */
export function poundsOf(grams: number): string {
  const { numerator, denominator } = GRAMS_PER_POUND;
  return decimalText(divideRounded(BigInt(grams) * denominator * 100n, numerator, 'half up'), 100n, 2);
}

/** Kilograms of whole grams, exactly. */
export function kilogramsOf(grams: number): string {
  return decimalText(BigInt(grams), 1_000n, 3);
}

/**
 * Released value: so much a pound for each lost or damaged article, never for the whole shipment (49 CFR part 375 with the
 * Surface Transportation Board's released rates: 0.60 US dollars).
 * @param perPound decimal text in major units of the currency
 * @param pounds weights of the damaged articles
 * @throws RangeError on text that is not a decimal
 */
export function releasedLimit(perPound: string, pounds: readonly string[], as: LimitMoney): Limit {
  const each = pounds.map((weight) => inMinor(times(ratio(perPound), ratio(weight)), as));
  const limitMinor = each.reduce((sum, minor) => sum + minor, 0);
  const shown = pounds.map((weight) => `${perPound} × ${weight} lb`).join(' + ');
  return { limitMinor, sdr: null, working: `${shown} = ${figure(limitMinor, as)} ${as.currency}, by the article` };
}

/** What was declared or agreed in writing, as a sum or as so much a pound (49 U.S.C. 14706(c)(1)(A)). */
export function declaredLimit(
  declared: { readonly valueMinor: number } | { readonly perPoundMinor: number; readonly pounds: string },
  as: LimitMoney,
): Limit {
  if ('valueMinor' in declared) {
    const { valueMinor } = declared;
    return { limitMinor: valueMinor, sdr: null, working: `declared value ${figure(valueMinor, as)} ${as.currency}` };
  }
  const { perPoundMinor, pounds } = declared;
  const weight = ratio(pounds);
  const minor = divideRounded(BigInt(perPoundMinor) * weight.numerator, weight.denominator, as.rounding);
  const limitMinor = money(Number(minor), as.currency).amountMinor;
  const working = `agreed ${figure(perPoundMinor, as)} × ${pounds} lb = ${figure(limitMinor, as)} ${as.currency}`;
  return { limitMinor, sdr: null, working };
}

/** A limit in special drawing rights, in hundredths, with its working. */
export interface SdrLimit {
  readonly hundredths: bigint;
  readonly working: string;
}

/** So many SDR for each kilogram of gross weight that is short or damaged (CMR art. 23(3); Montreal Convention art. 22(3)). */
export function sdrPerKg(perKg: string, grams: number): SdrLimit {
  const hundredths = sdrHundredths(times(ratio(perKg), kilograms(grams)));
  return { hundredths, working: `${perKg} SDR × ${kilogramsOf(grams)} kg = ${sdrText(hundredths)} SDR` };
}

/** The higher of so many SDR for each package and so many for each kilogram (Hague-Visby Rules art. IV r. 5(a)). */
export function sdrPackageOrKg(
  rates: { readonly perPackage: string; readonly perKg: string },
  goods: { readonly packages: number; readonly grams: number },
): SdrLimit {
  const byPackage = sdrHundredths(
    times(ratio(rates.perPackage), { numerator: BigInt(goods.packages), denominator: 1n }),
  );
  const byKg = sdrPerKg(rates.perKg, goods.grams);
  const working = `the higher of ${rates.perPackage} SDR × ${goods.packages} = ${sdrText(byPackage)} SDR and ${byKg.working}`;
  return { hundredths: byPackage > byKg.hundredths ? byPackage : byKg.hundredths, working };
}

/**
 * Turns a limit in SDR into money: worked out in SDR to two decimals, converted once, rounded last. Converting the rate per
 * kilogram first gives another cent.
 * @param rate units of the currency for one SDR, decimal text, as a person entered it
 */
export function convertSdr(limit: SdrLimit, rate: string, as: LimitMoney): Limit {
  const limitMinor = inMinor(times({ numerator: limit.hundredths, denominator: 100n }, ratio(rate)), as);
  const working = `${limit.working}; × ${rate} ${as.currency} = ${figure(limitMinor, as)} ${as.currency}`;
  return { limitMinor, sdr: sdrText(limit.hundredths), working };
}

/** A loss under a limit: what can be demanded, and what the limit cuts off. The two add up to the loss. */
export interface Capped {
  readonly payableMinor: number;
  readonly cutMinor: number;
}

/** A limit never raises a payment: the smaller of loss and limit is payable. @param limitMinor null for no limit */
export function underLimit(lossMinor: number, limitMinor: number | null): Capped {
  if (limitMinor === null || lossMinor <= limitMinor) return { payableMinor: lossMinor, cutMinor: 0 };
  return { payableMinor: limitMinor, cutMinor: lossMinor - limitMinor };
}

/** The loss less what the goods still fetched, never below nothing (49 CFR 370.11). */
export function lessSalvageProceeds(lossMinor: number, salvageMinor: number): number {
  return Math.max(0, lossMinor - salvageMinor);
}

/** "541.45" from hundredths. */
export function sdrText(hundredths: bigint): string {
  const text = String(hundredths).padStart(3, '0');
  return `${text.slice(0, -2)}.${text.slice(-2)}`;
}

function sdrHundredths(value: Ratio): bigint {
  return divideRounded(value.numerator * 100n, value.denominator, 'half up');
}

function kilograms(grams: number): Ratio {
  return { numerator: BigInt(grams), denominator: 1_000n };
}

function inMinor(major: Ratio, as: LimitMoney): number {
  const minor = divideRounded(major.numerator * 10n ** BigInt(digitsOf(as.currency)), major.denominator, as.rounding);
  return money(Number(minor), as.currency).amountMinor;
}

function digitsOf(currency: string): number {
  const digits = minorDigits(currency);
  if (digits === undefined) throw new RangeError(`${currency} is not a currency with minor units`);
  return digits;
}

function times(a: Ratio, b: Ratio): Ratio {
  return { numerator: a.numerator * b.numerator, denominator: a.denominator * b.denominator };
}

function ratio(text: string): Ratio {
  const read = parseRatio(text);
  if (!read) throw new RangeError(`"${text}" is not a decimal of at least 0`);
  return read;
}

function figure(amountMinor: number, as: LimitMoney): string {
  return moneyDecimal(money(amountMinor, as.currency));
}
