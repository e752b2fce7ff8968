import { Injectable } from '@nestjs/common';
import type { Assessment } from '../adjudication/adjudication.contract.js';
import { balancedBy } from '../kernel/double-entry.js';
import { Jobs } from '../platform/jobs/jobs.js';
import { LedgerStore, type TransferReason } from '../platform/ledger/ledger.store.js';
import type { InHand } from './claim-hands.js';
import { OPEN_RECOVERIES } from './claims.contract.js';
import { decidedCost, decisionPostings, type DecidedRemedy } from './domain/decided-cost.js';

/** Books what acts on a claim do to money, in the act's own transaction, and has the recoveries opened. */
@Injectable()
export class ClaimLedger {
  constructor(
    private readonly ledger: LedgerStore,
    private readonly jobs: Jobs,
  ) {}

  /** A decision stands: what it costs is a loss until somebody else pays it, and who answers will be asked to. */
  async decisionStands(
    hand: InHand,
    decisionId: string,
    made: { readonly assessment: Assessment; readonly decided: DecidedRemedy },
  ): Promise<void> {
    const postings = decisionPostings(decidedCost(made.assessment, made.decided));
    await this.ledger.book(hand.tx, { ...this.transfer(hand, 'decision', `decision:${decisionId}`), postings });
    const ids = { tenant: hand.row.tenantId, claim: hand.row.id };
    await this.jobs.enqueue(hand.tx, OPEN_RECOVERIES, ids, { once: hand.row.id });
  }

  /** A decision stands no longer. What was paid under it stays paid. */
  async decisionSuperseded(hand: InHand, decisionId: string): Promise<void> {
    const as = this.transfer(hand, 'decision reversed', `decision reversed:${decisionId}`);
    await this.ledger.reverse(hand.tx, `decision:${decisionId}`, as);
  }

  /** The customer got the money that was owed. */
  async settled(hand: InHand, decisionId: string, amountMinor: number): Promise<void> {
    const postings = balancedBy('bank', [{ account: 'customer', amountMinor }]);
    await this.ledger.book(hand.tx, { ...this.transfer(hand, 'settlement', `settlement:${decisionId}`), postings });
  }

  private transfer(hand: InHand, reason: TransferReason, source: string) {
    const { row, at, actor } = hand;
    return { tenant: row.tenantId, claim: row.id, currency: row.currency, by: actor.id, at, reason, source };
  }
}
