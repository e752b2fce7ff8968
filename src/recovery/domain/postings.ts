import type { Posting, Transfer } from '../recovery.contract.js';
import type { Party } from '../../kernel/vocabulary.js';

/**
 * What is wrong with a transfer, in words; empty when it may be booked: at least two postings, none of zero, whole minor units, debits
 * equal to credits (double entry).
 */
export function transferFaults(transfer: Transfer): string[] {
  const faults: string[] = [];
  if (transfer.postings.length < 2) faults.push('a transfer has at least two postings');
  for (const { amountMinor } of transfer.postings) {
    if (!Number.isSafeInteger(amountMinor) || amountMinor === 0) {
      faults.push(`a posting of ${amountMinor} is not a whole amount other than zero`);
    }
  }
  const sum = transfer.postings.reduce((total, { amountMinor }) => total + BigInt(Math.trunc(amountMinor)), 0n);
  if (sum !== 0n) faults.push(`debits and credits differ by ${sum} minor units`);
  return faults;
}

/**
 * The transfer that turns the cost of a claim into what each party owes: parties are debited, the loss account is credited.
 * @param shares amounts by party in minor units; parties that owe nothing are left out
 */
export function demandTransfer(
  claim: string,
  currency: string,
  shares: readonly { readonly party: Party; readonly amountMinor: number }[],
): Transfer {
  const owing = shares.filter(({ amountMinor }) => amountMinor !== 0);
  const debits: Posting[] = owing.map(({ party, amountMinor }) => ({ account: { kind: 'party', party }, amountMinor }));
  const total = owing.reduce((sum, { amountMinor }) => sum + amountMinor, 0);
  const credits: Posting[] = total === 0 ? [] : [{ account: { kind: 'loss' }, amountMinor: -total }];
  return { claim, currency, reason: 'demand', postings: [...debits, ...credits] };
}
