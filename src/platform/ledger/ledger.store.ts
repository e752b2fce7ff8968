import { randomUUID } from 'node:crypto';
import { Injectable } from '@nestjs/common';
import type { EntityManager } from 'typeorm';
import { postingFaults, reversed, type Account, type Posting } from '../../kernel/double-entry.js';

/** Why money moved. */
export const TRANSFER_REASONS = [
  'decision',
  'decision reversed',
  'settlement',
  'demand',
  'payment',
  'salvage',
  'write-off',
] as const;
export type TransferReason = (typeof TRANSFER_REASONS)[number];

/** A movement of money on one claim, in one currency. */
export interface TransferToBook {
  /** uuid */
  readonly tenant: string;
  /** uuid of the claim */
  readonly claim: string;
  readonly reason: TransferReason;
  /** What moved it, once and no more: `decision:<id>`. Unique in the tenant, so that no act is booked twice. */
  readonly source: string;
  readonly currency: string;
  /** RFC 3339 instant */
  readonly at: string;
  readonly by: string;
  readonly postings: readonly Posting[];
}

/** What an account holds; debits positive. */
export interface Balance {
  readonly account: Account;
  readonly currency: string;
  readonly amountMinor: number;
}

/**
 * The ledger in PostgreSQL. Rows are only ever added; the database itself refuses a transfer whose postings do not sum to zero when
 * the transaction ends. Every call takes the transaction of the act that moves the money.
 */
@Injectable()
export class LedgerStore {
  /**
   * Books a transfer; without postings nothing is booked.
   * @throws RangeError when the postings do not balance; a violated constraint when the source was booked before
   */
  async book(tx: EntityManager, transfer: TransferToBook): Promise<void> {
    const { postings } = transfer;
    if (postings.length === 0) return;
    const faults = postingFaults(postings);
    if (faults.length > 0) throw new RangeError(faults.join('; '));
    const { tenant, claim, reason, source, currency, at, by } = transfer;
    const id = randomUUID();
    await tx.query(
      `insert into transfer (id, tenant_id, claim_id, reason, source, currency, postings, booked_by, booked_at)
       values ($1, $2, $3, $4, $5, $6, $7, $8, $9)`,
      [id, tenant, claim, reason, source, currency, postings.length, by, at],
    );
    await tx.query(
      `insert into posting (transfer_id, n, tenant_id, claim_id, currency, account, amount_minor)
       select $1, p.n, $2, $3, $4, p.account, p.amount
       from unnest($5::text[], $6::bigint[]) with ordinality as p (account, amount, n)`,
      [id, tenant, claim, currency, postings.map(({ account }) => account), postings.map((p) => p.amountMinor)],
    );
  }

  /** Books the opposite of an earlier transfer; nothing where that one was never booked. */
  async reverse(
    tx: EntityManager,
    source: string,
    as: Pick<TransferToBook, 'tenant' | 'reason' | 'source' | 'at' | 'by'>,
  ): Promise<void> {
    const rows = await tx.query<{ claim: string; currency: string; account: Account; amount: string }[]>(
      `select p.claim_id as claim, p.currency, p.account, p.amount_minor as amount
       from transfer t join posting p on p.tenant_id = t.tenant_id and p.transfer_id = t.id
       where t.tenant_id = $1 and t.source = $2 order by p.n`,
      [as.tenant, source],
    );
    const [first] = rows;
    if (first === undefined) return;
    const { claim, currency } = first;
    const postings = reversed(rows.map(({ account, amount }) => ({ account, amountMinor: Number(amount) })));
    await this.book(tx, { ...as, claim, currency, postings });
  }

  /** What the accounts of one claim hold, those that hold nothing left out. */
  async balances(tx: EntityManager, tenant: string, claim: string): Promise<Balance[]> {
    const rows = await tx.query<{ account: Account; currency: string; amount: string }[]>(
      `select account, currency, sum(amount_minor) as amount from posting where tenant_id = $1 and claim_id = $2
       group by account, currency having sum(amount_minor) <> 0 order by account, currency`,
      [tenant, claim],
    );
    return rows.map(({ account, currency, amount }) => ({ account, currency, amountMinor: Number(amount) }));
  }
}
