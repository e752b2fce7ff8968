import type { Party } from '../kernel/vocabulary.js';

/** Accounts of a claim's ledger. A party's account holds what it still owes; `loss` is what nobody could be made to pay. */
export type Account =
  { readonly kind: 'party'; readonly party: Party } | { readonly kind: 'customer' | 'bank' | 'salvage' | 'loss' };

/** One side of a transfer. Debits are positive, credits negative, in minor units of one currency. */
export interface Posting {
  readonly account: Account;
  readonly amountMinor: number;
}

/** Money moving for one reason. Its postings sum to zero, always. */
export interface Transfer {
  readonly claim: string;
  readonly currency: string;
  readonly reason: string;
  readonly postings: readonly Posting[];
}

export { demandTransfer, transferFaults } from './domain/postings.js';
