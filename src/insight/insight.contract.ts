/** A rate with its uncertainty. Bounds are a 95 % Wilson score interval. */
export interface Rate {
  readonly count: number;
  readonly of: number;
  readonly rate: number;
  readonly low: number;
  readonly high: number;
}

export { rateOf } from './domain/rates.js';
