import type { Party } from './vocabulary.js';

/**
 * Accounts of a claim's ledger. A party's account holds what it still owes us; `customer` what we still owe the customer; `supply`
 * what parts, freight, units and visits cost; `salvage` what goods in hand should still fetch; `loss` what nobody has been made to pay.
 */
export type Account = `party:${Party}` | 'customer' | 'bank' | 'supply' | 'salvage' | 'loss';

/** One side of a transfer. Debits are positive, credits negative, in minor units of the transfer's currency. */
export interface Posting {
  readonly account: Account;
  readonly amountMinor: number;
}

/** The account of a party. */
export function accountOf(party: Party): Account {
  return `party:${party}`;
}

/**
 * What is wrong with the postings of a transfer, in words; empty when they may be booked: at least two, none of zero, whole minor
 * units, debits equal to credits (double entry).
 */
export function postingFaults(postings: readonly Posting[]): string[] {
  const faults: string[] = [];
  if (postings.length < 2) faults.push('a transfer has at least two postings');
  for (const { amountMinor } of postings) {
    if (!Number.isSafeInteger(amountMinor) || amountMinor === 0) {
      faults.push(`a posting of ${amountMinor} is not a whole amount other than zero`);
    }
  }
  const sum = postings.reduce((total, { amountMinor }) => total + BigInt(Math.trunc(amountMinor)), 0n);
  if (sum !== 0n) faults.push(`debits and credits differ by ${sum} minor units`);
  return faults;
}

/**
 * The postings of a movement: amounts by account, those of one account added, those of nothing left out. The rest goes to the
 * balancing account, so that they sum to zero by construction.
 * @returns an empty list where nothing moves.
 */
export function balancedBy(balancing: Account, sides: readonly Posting[]): Posting[] {
  const totals = new Map<Account, number>();
  const add = (account: Account, minor: number): unknown => totals.set(account, (totals.get(account) ?? 0) + minor);
  for (const { account, amountMinor } of sides) {
    add(account, amountMinor);
    add(balancing, -amountMinor);
  }
  return [...totals]
    .filter(([, amountMinor]) => amountMinor !== 0)
    .map(([account, amountMinor]) => ({ account, amountMinor }));
}

/** The same movement the other way round. */
export function reversed(postings: readonly Posting[]): Posting[] {
  return postings.map(({ account, amountMinor }) => ({ account, amountMinor: -amountMinor }));
}
