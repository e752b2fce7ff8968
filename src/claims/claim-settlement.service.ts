import { Injectable } from '@nestjs/common';
import type { Actor } from '../access/access.contract.js';
import { Refused } from '../platform/http/problems.js';
import type { VersionMatch } from '../platform/http/versions.js';
import { allowed, ClaimHands } from './claim-hands.js';
import { ClaimLedger } from './claim-ledger.js';
import { checkSettlement } from './domain/decide-claim.js';
import type { ClaimRow } from './store/claim.entity.js';
import { ClaimStore } from './store/claim.store.js';

/** Carrying out what was decided, and closing the file. */
@Injectable()
export class ClaimSettlementService {
  constructor(
    private readonly store: ClaimStore,
    private readonly hands: ClaimHands,
    private readonly ledger: ClaimLedger,
  ) {}

  /** The remedy is being carried out: the payment is ordered, the part or unit is on its way. */
  orderSettlement(actor: Actor, id: string, words: string | null, match: VersionMatch): Promise<ClaimRow> {
    return this.hands.take(actor, id, match, async (hand) => {
      const next = allowed(hand.life, 'order settlement');
      await this.hands.note(hand, next.kind, words === null ? {} : { words });
      return this.store.update(hand.tx, hand.row, { state: next.next }, hand.at);
    });
  }

  /** The remedy was given, for exactly what was decided and not paid before. */
  settle(
    actor: Actor,
    id: string,
    paid: { amountMinor: number; currency: string; reference: string },
    match: VersionMatch,
  ): Promise<ClaimRow> {
    return this.hands.take(actor, id, match, async (hand) => {
      const { tx, row, life, at } = hand;
      const next = allowed(life, 'settle');
      const before = (await this.store.settlements(tx, row.tenantId, id)).map(({ amountMinor }) => amountMinor);
      const refusal = checkSettlement(life.standing, row.currency, paid, sum(before));
      if (refusal) throw new Refused(refusal.refusal, refusal.detail);
      if (row.decisionId === null)
        throw new Refused('claim-state-forbids', 'No decision stands, so there is nothing to settle.');
      await this.store.settle(tx, {
        ...paid,
        tenantId: row.tenantId,
        claimId: id,
        decisionId: row.decisionId,
        settledBy: actor.id,
        settledAt: at,
      });
      await this.hands.note(hand, next.kind, paid);
      await this.ledger.settled(hand, row.decisionId, paid.amountMinor);
      return this.store.update(
        tx,
        row,
        { state: next.next, settledAt: at, dueAt: null, dueClock: null, promisedAt: null },
        at,
      );
    });
  }

  close(actor: Actor, id: string, words: string | null, match: VersionMatch): Promise<ClaimRow> {
    return this.hands.take(actor, id, match, async (hand) => {
      const next = allowed(hand.life, 'close');
      await this.hands.note(hand, next.kind, words === null ? {} : { words });
      return this.store.update(
        hand.tx,
        hand.row,
        { state: next.next, closedAt: hand.at, dueAt: null, dueClock: null, promisedAt: null },
        hand.at,
      );
    });
  }
}

function sum(amounts: readonly number[]): number {
  return amounts.reduce((total, amount) => total + amount, 0);
}
