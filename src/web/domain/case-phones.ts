import type { Disagreement, PhoneStanding } from '../../inspections/phones.contract.js';

/** What the phones of a case still hold, do not agree on, and brought late; types only, shared by both ends. */
export interface CasePhones {
  readonly phones: readonly PhoneStanding[];
  /** Checks of the claim's unit. */
  readonly disagreements: readonly Disagreement[];
  /** By item: when the newest answer was given by the phone's own clock, where that is off by more than ten minutes. RFC 3339 */
  readonly saidAt: Readonly<Record<string, string>>;
  /** What phones brought after the decision that stands. */
  readonly factsAfterDecision: number;
}
