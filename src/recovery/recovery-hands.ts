import { Injectable } from '@nestjs/common';
import type { EntityManager } from 'typeorm';
import type { Actor } from '../access/access.contract.js';
import { ClaimHappeningsService } from '../claims/claim-happenings.service.js';
import type { Happening } from '../claims/claims.contract.js';
import type { Posting } from '../kernel/double-entry.js';
import { Clock } from '../platform/clock.js';
import { Database } from '../platform/db/database.js';
import { scopeOf } from '../platform/http/caller.js';
import { Refused } from '../platform/http/problems.js';
import type { VersionMatch } from '../platform/http/versions.js';
import { LedgerStore, type TransferReason } from '../platform/ledger/ledger.store.js';
import { act, type RecoveryAct } from './domain/recovery-life.js';
import type { RecoveryEventKind } from './recovery.contract.js';
import { RecoveryStore, type RecoveryChange, type RecoveryRow } from './store/recovery.store.js';

/** A recovery in somebody's hands: locked, at the version they saw. */
export interface RecoveryInHand {
  readonly tx: EntityManager;
  readonly actor: Actor;
  readonly row: RecoveryRow;
  readonly at: string;
}

const REASONS: Readonly<Partial<Record<RecoveryEventKind, TransferReason>>> = {
  'demand-sent': 'demand',
  'payment-received': 'payment',
  'salvage-credited': 'salvage',
  'balance-written-off': 'write-off',
};

/** Takes recoveries in hand one person at a time; what an act does to money is booked in the same transaction as its event. */
@Injectable()
export class RecoveryHands {
  constructor(
    private readonly db: Database,
    private readonly store: RecoveryStore,
    private readonly ledger: LedgerStore,
    private readonly happenings: ClaimHappeningsService,
    private readonly clock: Clock,
  ) {}

  /** @throws Refused not-found, version-changed */
  take(
    actor: Actor,
    id: string,
    match: VersionMatch,
    work: (hand: RecoveryInHand) => Promise<RecoveryRow>,
  ): Promise<RecoveryRow> {
    return this.db.inTenant(scopeOf(actor), async (tx) => {
      const row = await this.store.lock(tx, actor.tenant, id);
      match.demand(row.version);
      return work({ tx, actor, row, at: this.now() });
    });
  }

  /**
   * Does an act on what is in hand: the standing, the event and the transfer together, or none of them.
   * @param body what the event says beside the amount
   * @param change columns that go with it
   * @throws Refused recovery-state-forbids, amount-exceeds
   */
  async perform(
    hand: RecoveryInHand,
    wish: RecoveryAct,
    body: Readonly<Record<string, unknown>>,
    change: RecoveryChange = {},
  ): Promise<RecoveryRow> {
    const { row, at } = hand;
    const moved = act(row.party, row, wish);
    if (!moved.ok) throw new Refused(moved.refusal, moved.detail);
    const amount = moved.amountMinor === 0 ? {} : { amountMinor: moved.amountMinor, currency: row.currency };
    await this.note(hand, moved.event, { ...body, ...amount });
    const reason = REASONS[moved.event];
    if (reason !== undefined) await this.book(hand, reason, moved.postings);
    const { state, bookedMinor, offeredMinor, paidMinor, salvageMinor, writtenOffMinor } = moved.next;
    const standing = { state, bookedMinor, offeredMinor, paidMinor, salvageMinor, writtenOffMinor };
    return this.store.update(hand.tx, row, { ...standing, ...change }, at);
  }

  /** What a carrier did about its demand starts and stops clocks of the claim, in the same transaction. Other parties have none. */
  async tellClocks(hand: RecoveryInHand, whats: readonly Happening[], at: string): Promise<void> {
    const { tx, row, actor } = hand;
    if (row.party !== 'carrier') return;
    const by = { kind: actor.kind, id: actor.id, name: actor.name };
    for (const what of whats) {
      await this.happenings.happened(tx, row.tenantId, row.claimId, { what, at, words: null, by });
    }
  }

  /** Chains one event. */
  note(hand: RecoveryInHand, kind: RecoveryEventKind, body: Readonly<Record<string, unknown>>): Promise<void> {
    const { kind: of, id, name } = hand.actor;
    return this.store.append(hand.tx, hand.row, { kind, at: hand.at, actor: { kind: of, id, name }, body });
  }

  /** The instant of an act, as it is kept and hashed. */
  now(): string {
    return this.clock.now().toString({ fractionalSecondDigits: 3, roundingMode: 'floor' });
  }

  private book(hand: RecoveryInHand, reason: TransferReason, postings: readonly Posting[]): Promise<void> {
    const { tx, row, actor, at } = hand;
    // A recovery does one act for each of its versions, so this names the act.
    const source = `recovery:${row.id}:v${row.version}`;
    const { tenantId: tenant, claimId: claim, currency } = row;
    return this.ledger.book(tx, { tenant, claim, reason, source, currency, at, by: actor.id, postings });
  }
}
