import type { Rounding } from '../../kernel/rounding.js';
import type { WarrantyTerm } from '../../catalogue/catalogue.contract.js';
import type { AmountLine, OrderLine } from '../adjudication.contract.js';
import {
  figure,
  notBelowNothing,
  percentShown,
  plainLine,
  scaledLine,
  sumLines,
  type LineBasis,
} from './amount-lines.js';
import { parsePercent, type Ratio } from './exact-decimal.js';

/** The `terms` decision of a policy for one remedy: what share of which amounts the customer gets. Percentages are decimal text. */
export interface Terms {
  readonly pricePercent: string;
  readonly tax: 'full' | 'proportional' | 'none';
  readonly delivery: boolean;
  readonly useDeduction: boolean;
  readonly restockingPercent: string;
  readonly allowancePercent: string;
  readonly proRata: boolean;
}

/** What was paid, how old the goods are, and how results are rounded. */
export interface PaidAndAge {
  readonly order: Pick<OrderLine, 'currency' | 'priceMinor' | 'taxMinor' | 'deliveryMinor'>;
  readonly rounding: Rounding;
  /** Completed months from delivery to the day on which the trouble was noticed. */
  readonly ageMonths: number;
  /** Straight-line life of the goods, from the policy; undefined where it names none. */
  readonly useLifeMonths: number | undefined;
  readonly warranty: WarrantyTerm | undefined;
}

/** Lines that sum to the total, or why no amount can be worked out. */
export type CustomerMoney =
  | { readonly ok: true; readonly lines: readonly AmountLine[]; readonly totalMinor: number }
  | { readonly ok: false; readonly problem: string };

/** Money to the customer for a refund: price, less what the terms let be held back, plus tax and delivery. Never below nothing. */
export function refundMoney(terms: Terms, paid: PaidAndAge, about: string): CustomerMoney {
  const basis = basisOf(paid, about);
  const net = terms.proRata ? proRataPrice(paid, basis) : priceLessDeductions(terms, paid, basis);
  if (!net.ok) return net;
  const lines = [...net.lines];
  const { order } = paid;
  if (order.taxMinor > 0 && terms.tax === 'full') {
    lines.push(plainLine(basis, 'tax', 'Tax', order.taxMinor, 'as charged, given back in full'));
  }
  if (order.taxMinor > 0 && terms.tax === 'proportional' && net.totalMinor > 0) {
    lines.push(
      scaledLine(basis, {
        id: 'tax',
        says: 'Tax in proportion to the price given back',
        baseMinor: order.taxMinor,
        by: { numerator: BigInt(net.totalMinor), denominator: BigInt(order.priceMinor) },
        shown: `${figure(basis, net.totalMinor)} ÷ ${figure(basis, order.priceMinor)}`,
      }),
    );
  }
  if (terms.delivery && order.deliveryMinor > 0) {
    lines.push(plainLine(basis, 'delivery', 'Delivery fee', order.deliveryMinor, 'as charged'));
  }
  return summed(notBelowNothing(basis, lines, 'Deductions stop at nothing'));
}

/** Money to the customer for keeping the goods as they are: a percentage of the price, and of the tax unless the terms leave tax out. */
export function allowanceMoney(terms: Terms, paid: PaidAndAge, about: string): CustomerMoney {
  const basis = basisOf(paid, about);
  const percent = parsePercent(terms.allowancePercent);
  if (!percent) return notAPercentage('allowance percent', terms.allowancePercent);
  return summed(priceAndTaxParts(terms, paid, basis, { by: percent, shown: percentShown(percent) }));
}

/**
 * Damages for accepted goods: value as warranted less value as accepted, whatever was paid (UCC 2-714(2)). The benefit of a good bargain
 * stays with the buyer, so the result may differ from a reduction in proportion. Tax has no part in it.
 * @param values what the goods would be worth as warranted (above 0) and what they are worth, in the order's minor units
 */
export function valueDifference(
  values: { readonly promisedMinor: number; readonly actualMinor: number },
  paid: PaidAndAge,
  about: string,
): CustomerMoney {
  const basis = basisOf(paid, about);
  if (values.promisedMinor <= 0 || values.actualMinor < 0) return NO_VALUE;
  const { promisedMinor, actualMinor } = values;
  const where = `= ${figure(basis, promisedMinor)} as warranted − ${figure(basis, actualMinor)} as accepted, not below 0`;
  const amountMinor = Math.max(0, promisedMinor - actualMinor);
  return summed([plainLine(basis, 'value', 'Difference in value', amountMinor, where)]);
}

const NO_VALUE: CustomerMoney = {
  ok: false,
  problem: 'The value as promised must be above 0 and the value as it is at least 0.',
};

/**
 * Price reduction in proportion to the fall in value: price × (promised − as it is) ÷ promised. Directive (EU) 2019/771 art. 15 has the
 * ratio, as has CISG art. 50. Goods worth more than promised give nothing.
 * @param values what the goods would be worth as promised (above 0) and what they are worth, in the order's minor units
 */
export function valueReduction(
  values: { readonly promisedMinor: number; readonly actualMinor: number },
  terms: Pick<Terms, 'tax'>,
  paid: PaidAndAge,
  about: string,
): CustomerMoney {
  const basis = basisOf(paid, about);
  if (values.promisedMinor <= 0 || values.actualMinor < 0) return NO_VALUE;
  const fall = Math.max(0, values.promisedMinor - values.actualMinor);
  const by = { numerator: BigInt(fall), denominator: BigInt(values.promisedMinor) };
  const shown = `${figure(basis, fall)} ÷ ${figure(basis, values.promisedMinor)}`;
  return summed(priceAndTaxParts(terms, paid, basis, { by, shown }));
}

function priceAndTaxParts(
  terms: Pick<Terms, 'tax'>,
  paid: PaidAndAge,
  basis: LineBasis,
  part: { readonly by: Ratio; readonly shown: string },
): AmountLine[] {
  const { priceMinor, taxMinor } = paid.order;
  const lines = [
    scaledLine(basis, { id: 'allowance', says: 'Allowance on the price', baseMinor: priceMinor, ...part }),
  ];
  if (terms.tax !== 'none' && taxMinor > 0) {
    lines.push(
      scaledLine(basis, { id: 'tax', says: 'Tax in proportion to the allowance', baseMinor: taxMinor, ...part }),
    );
  }
  return lines;
}

function priceLessDeductions(terms: Terms, paid: PaidAndAge, basis: LineBasis): CustomerMoney {
  const { priceMinor } = paid.order;
  const pricePercent = parsePercent(terms.pricePercent);
  if (!pricePercent) return notAPercentage('price percent', terms.pricePercent);
  const restocking = parsePercent(terms.restockingPercent);
  if (!restocking) return notAPercentage('restocking percent', terms.restockingPercent);
  const lines = [
    scaledLine(basis, {
      id: 'price',
      says: 'Price paid',
      baseMinor: priceMinor,
      by: pricePercent,
      shown: percentShown(pricePercent),
    }),
  ];
  if (terms.useDeduction) {
    const life = paid.useLifeMonths;
    if (life === undefined || life <= 0) {
      return { ok: false, problem: 'The policy deducts for use but names no life of the goods in months.' };
    }
    const used = Math.min(paid.ageMonths, life);
    lines.push(
      scaledLine(basis, {
        id: 'use deduction',
        says: 'Less use, straight line over the life of the goods',
        baseMinor: priceMinor,
        by: { numerator: BigInt(used), denominator: BigInt(life) },
        shown: `${used} ÷ ${life} months`,
        heldBack: true,
      }),
    );
  }
  if (restocking.numerator > 0n) {
    lines.push(
      scaledLine(basis, {
        id: 'restocking',
        says: 'Less restocking',
        baseMinor: priceMinor,
        by: restocking,
        shown: percentShown(restocking),
        heldBack: true,
      }),
    );
  }
  return summed(lines);
}

/** Linear pro-rata rebate: price × (W − age) ÷ W, nothing at and after W (Blischke & Murthy, pro-rata warranties). */
function proRataPrice(paid: PaidAndAge, basis: LineBasis): CustomerMoney {
  if (paid.warranty === undefined) {
    return { ok: false, problem: 'The policy refunds pro rata but the model names no warranty for the component.' };
  }
  const term = paid.warranty.fullMonths + paid.warranty.proRataMonths;
  if (term <= 0) return { ok: false, problem: 'The warranty term is 0 months, so no pro-rata part can be worked out.' };
  const left = Math.max(0, term - paid.ageMonths);
  return summed([
    scaledLine(basis, {
      id: 'pro rata',
      says: 'Price, pro rata for the warranty months left',
      baseMinor: paid.order.priceMinor,
      by: { numerator: BigInt(left), denominator: BigInt(term) },
      shown: left === 0 ? `0 ÷ ${term} months` : `(${term} − ${paid.ageMonths}) ÷ ${term} months`,
    }),
  ]);
}

function basisOf(paid: PaidAndAge, about: string): LineBasis {
  return { currency: paid.order.currency, rounding: paid.rounding, about };
}

function summed(lines: readonly AmountLine[]): CustomerMoney {
  return { ok: true, lines, totalMinor: sumLines(lines) };
}

function notAPercentage(name: string, value: string): CustomerMoney {
  return { ok: false, problem: `The policy's ${name} is "${value}", which is not a percentage from 0 to 100.` };
}
