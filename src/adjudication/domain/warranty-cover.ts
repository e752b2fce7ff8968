import type { WarrantyTerm } from '../../catalogue/catalogue.contract.js';
import type { Component } from '../../kernel/vocabulary.js';

/** `none`: the warranty names no term for the component, or no component is in question. */
export type Cover = 'full' | 'pro rata' | 'expired' | 'none';

/** The warranty term of a component, where the model has one. */
export function warrantyTerm(terms: readonly WarrantyTerm[], component: Component | null): WarrantyTerm | undefined {
  return component === null ? undefined : terms.find((term) => term.component === component);
}

/**
 * Cover at an age in completed months. A term of n months covers ages 0 to n − 1: on the day on which the n-th month is complete it
 * is over, as a linear pro-rata rebate is nothing at and after the end of its term (Blischke & Murthy, pro-rata warranties).
 */
export function warrantyCover(term: WarrantyTerm | undefined, ageMonths: number): Cover {
  if (term === undefined) return 'none';
  if (ageMonths < term.fullMonths) return 'full';
  return ageMonths < term.fullMonths + term.proRataMonths ? 'pro rata' : 'expired';
}
