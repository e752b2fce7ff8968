import type { Assessment, OrderLine } from '../../adjudication/adjudication.contract.js';
import type { Remedy } from '../../kernel/vocabulary.js';
import type { Proposal } from './decide-claim.js';

/** The part of an assessment that a decision is measured against. */
export function proposalOf(assessment: Assessment, order: OrderLine): Proposal {
  const remedyCosts: Partial<Record<Remedy, number>> = {};
  for (const { remedy, expectedCostMinor } of assessment.remedy.options) {
    remedyCosts[remedy] = Math.max(remedyCosts[remedy] ?? 0, expectedCostMinor);
  }
  return {
    currency: assessment.remedy.currency,
    verdict: assessment.verdict,
    remedies: [...new Set(assessment.remedy.chosen.map(({ remedy }) => remedy))],
    customerTotalMinor: assessment.remedy.customerTotalMinor,
    costTotalMinor: assessment.remedy.costTotalMinor,
    remedyCosts,
    secondPersonAboveMinor: assessment.secondPersonAboveMinor,
    paidMinor: order.priceMinor + order.taxMinor + order.deliveryMinor,
  };
}
