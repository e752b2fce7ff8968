import { moneyDecimal } from '../../kernel/money.js';
import type { Remedy } from '../../kernel/vocabulary.js';
import type { ClaimLife, DecisionOutcome, OverrideReason, Refusal, WordsToRetailer } from '../claims.contract.js';
import { refuse, step } from './claim-life.js';

/** The part of an assessment that a decision is measured against. Amounts in minor units of one currency. */
export interface Proposal {
  readonly currency: string;
  readonly verdict: 'proposed' | 'to a person';
  readonly remedies: readonly Remedy[];
  readonly customerTotalMinor: number;
  readonly costTotalMinor: number;
  /** What each remedy would cost to give, as the assessment listed its options; a remedy not listed is taken at what the customer paid. */
  readonly remedyCosts: Readonly<Partial<Record<Remedy, number>>>;
  readonly secondPersonAboveMinor: number;
  /** The most that may be paid to the customer: what they paid for the line, tax and delivery included. */
  readonly paidMinor: number;
}

/** What a person decides. `remedies` and `totalMinor` left out mean: as proposed. */
export interface DecisionWish {
  readonly by: string;
  readonly outcome: DecisionOutcome;
  readonly remedies?: readonly Remedy[];
  readonly totalMinor?: number;
  readonly currency?: string;
  readonly reason?: OverrideReason;
  /** For the desk: why. */
  readonly words?: string;
  /** For the retailer, on its page and in its letter. */
  readonly toRetailer?: WordsToRetailer;
  /** Explanation by subject of a finding, where whoever decides names what was the matter. */
  readonly explanations?: Readonly<Record<string, string>>;
}

export interface Decided {
  readonly ok: true;
  readonly outcome: DecisionOutcome;
  readonly remedies: readonly Remedy[];
  readonly totalMinor: number;
  /** Whether it departs from the proposal. */
  readonly overrides: boolean;
  readonly needsSecondPerson: boolean;
}

/** Fewest characters of an override's own words; a reason from the list alone explains nothing. */
export const LEAST_WORDS = 10;

/**
 * Measures a decision against the proposal. Declining, paying another sum or choosing another remedy departs from it and needs a reason
 * from the list and words; a sum (or the cost it causes) above the policy's limit waits for a second person.
 */
export function decideClaim(claim: ClaimLife, proposal: Proposal, wish: DecisionWish): Decided | Refusal {
  const allowed = step(claim, 'decide');
  if (!allowed.ok) return allowed;
  if (claim.awaiting) return refuse('claim-state-forbids', 'A decision is already waiting for a second person.');
  if (claim.filedBy === wish.by) return refuse('own-claim', 'You filed this claim, so somebody else must decide it.');
  const fault = wrongAmount(proposal, wish);
  if (fault) return fault;
  const declined = wish.outcome === 'declined';
  const remedies = declined ? (['none'] as const) : (wish.remedies ?? proposal.remedies);
  const totalMinor = declined ? 0 : (wish.totalMinor ?? proposal.customerTotalMinor);
  if (!declined && remedies.every((remedy) => remedy === 'none') && totalMinor === 0) {
    return refuse(
      'nothing-to-decide',
      'There is neither a remedy nor an amount to approve; name one, or decline the claim.',
    );
  }
  const overrides = totalMinor !== proposal.customerTotalMinor || !sameSet(remedies, proposal.remedies);
  if ((overrides || proposal.verdict === 'to a person') && !explained(wish)) {
    return refuse(
      'reason-required',
      `This departs from the proposal, or there was none to follow: choose a reason and say why in at least ${LEAST_WORDS} characters.`,
    );
  }
  const cost = declined
    ? 0
    : overrides
      ? overrideCost(proposal, remedies, totalMinor)
      : Math.max(totalMinor, proposal.costTotalMinor);
  return {
    ok: true,
    outcome: wish.outcome,
    remedies,
    totalMinor,
    overrides,
    needsSecondPerson: cost > proposal.secondPersonAboveMinor,
  };
}

/** Whether another person may confirm a waiting decision or send it back. */
export function checkSecondPerson(claim: ClaimLife, n: number, by: string): Refusal | undefined {
  if (claim.state === 'withdrawn')
    return refuse('claim-withdrawn', 'The claim was withdrawn; the decision has no effect any more.');
  if (!claim.awaiting || claim.awaiting.n !== n) {
    return refuse('claim-state-forbids', 'No decision of that number is waiting for a second person.');
  }
  if (claim.awaiting.decidedBy === by) {
    return refuse('same-person', 'You made this decision, so somebody else must confirm it or send it back.');
  }
  if (claim.filedBy === by)
    return refuse('own-claim', 'You filed this claim, so somebody else must confirm the decision.');
  return undefined;
}

/**
 * Whether a settlement pays exactly what is still due, in the claim's currency: what was decided less what was paid under decisions
 * that it supersedes. What was paid beyond a later, smaller decision is not asked back here; nothing is due then.
 * @param paidBeforeMinor sum of the claim's earlier settlements
 */
export function checkSettlement(
  standing: ClaimLife['standing'],
  claimCurrency: string,
  paid: { readonly amountMinor: number; readonly currency: string },
  paidBeforeMinor: number,
): Refusal | undefined {
  if (!standing) return refuse('claim-state-forbids', 'No decision stands, so there is nothing to settle.');
  if (paid.currency !== claimCurrency) {
    return refuse(
      'amount-currency-differs',
      `The claim is in ${claimCurrency}; an amount in ${paid.currency} cannot settle it.`,
    );
  }
  const dueMinor = Math.max(0, standing.totalMinor - paidBeforeMinor);
  if (paid.amountMinor !== dueMinor) {
    const before =
      paidBeforeMinor > 0 ? `, of which ${showAmount(paidBeforeMinor, claimCurrency)} was paid before` : '';
    return refuse(
      'amount-exceeds',
      `The decision says ${showAmount(standing.totalMinor, claimCurrency)}${before}; a settlement of ${showAmount(paid.amountMinor, claimCurrency)} does not match it.`,
    );
  }
  return undefined;
}

function wrongAmount(proposal: Proposal, wish: DecisionWish): Refusal | undefined {
  if (wish.currency !== undefined && wish.currency !== proposal.currency) {
    return refuse(
      'amount-currency-differs',
      `The claim is in ${proposal.currency}; an amount in ${wish.currency} cannot be decided.`,
    );
  }
  if (wish.totalMinor !== undefined && wish.totalMinor > proposal.paidMinor) {
    return refuse(
      'amount-exceeds',
      `More than the customer paid (${showAmount(proposal.paidMinor, proposal.currency)}) cannot be paid back.`,
    );
  }
  if (wish.outcome === 'approved in part' && wish.totalMinor === undefined && wish.remedies === undefined) {
    return refuse('nothing-to-decide', 'An approval in part must say which amount or which remedy is approved.');
  }
  return undefined;
}

/** Whatever is larger: the money, or the dearest of the remedies chosen. Erring high sends a doubtful case to a second person. */
function overrideCost(proposal: Proposal, remedies: readonly Remedy[], totalMinor: number): number {
  const costs = remedies.map((remedy) =>
    remedy === 'none' ? 0 : (proposal.remedyCosts[remedy] ?? proposal.paidMinor),
  );
  return Math.max(totalMinor, ...costs);
}

function explained(wish: DecisionWish): boolean {
  return wish.reason !== undefined && (wish.words ?? '').trim().length >= LEAST_WORDS;
}

function sameSet(a: readonly string[], b: readonly string[]): boolean {
  const left = new Set(a);
  const right = new Set(b);
  return left.size === right.size && [...left].every((item) => right.has(item));
}

function showAmount(amountMinor: number, currency: string): string {
  return `${moneyDecimal({ amountMinor, currency })} ${currency}`;
}
