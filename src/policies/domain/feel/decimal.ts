import { Decimal as Base } from 'decimal.js';

/**
 * Numbers of the rule language: exact decimals of 34 significant digits, intermediate results half even (decimal128 of
 * IEEE 754). A clone of its own, so that no other use of the library can change the precision.
 */
export const Decimal = Base.clone({ precision: 34, rounding: 6, toExpNeg: -7000, toExpPos: 7000 });
export type Decimal = Base;

/** Whether a value is a number of the rule language. */
export function isDecimal(value: unknown): value is Decimal {
  return value instanceof Base;
}
