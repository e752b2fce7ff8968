import { Injectable } from '@nestjs/common';
import type { Actor } from '../access/access.contract.js';
import type { Clock as ClaimClock } from '../adjudication/adjudication.contract.js';
import type { Fault } from '../kernel/outcome.js';
import { Database } from '../platform/db/database.js';
import { scopeOf } from '../platform/http/caller.js';
import type { CursorKey } from '../platform/http/pages.js';
import { Invalid, Refused } from '../platform/http/problems.js';
import type { VersionMatch } from '../platform/http/versions.js';
import { LedgerStore, type Balance } from '../platform/ledger/ledger.store.js';
import { mergedParticulars } from './domain/completeness.js';
import type { RecoveryAct } from './domain/recovery-life.js';
import { OpenRecoveriesService } from './open-recoveries.service.js';
import { RecoveryFacts } from './recovery-facts.js';
import { RecoveryHands, type RecoveryInHand } from './recovery-hands.js';
import type { Completeness, Particulars, RecoveryEvent } from './recovery.contract.js';
import { RecoveryStore, type RecoveryChange, type RecoveryFilter, type RecoveryRow } from './store/recovery.store.js';

/** A recovery with everything that a person looks at before acting on it. */
export interface RecoveryFile {
  readonly row: RecoveryRow;
  readonly completeness: Completeness;
  readonly clocks: readonly ClaimClock[];
  readonly events: readonly RecoveryEvent[];
}

/** An amount in minor units, with the currency it is in. */
export interface Amount {
  readonly amountMinor: number;
  readonly currency: string;
}

/** Reading recoveries and acting on them. Every act locks the recovery and books what it moves in one transaction. */
@Injectable()
export class RecoveriesService {
  constructor(
    private readonly db: Database,
    private readonly store: RecoveryStore,
    private readonly hands: RecoveryHands,
    private readonly opening: OpenRecoveriesService,
    private readonly facts: RecoveryFacts,
    private readonly ledger: LedgerStore,
  ) {}

  /** Up to `limit + 1` recoveries after the cursor, newest first. */
  page(actor: Actor, filter: RecoveryFilter, after: CursorKey | undefined, limit: number): Promise<RecoveryRow[]> {
    return this.db.inTenant(scopeOf(actor), (tx) => this.store.page(tx, actor.tenant, { filter, after, limit }));
  }

  /** The recoveries of one claim and what its ledger holds. @throws Refused not-found */
  ofClaim(actor: Actor, claimId: string): Promise<{ rows: RecoveryRow[]; balances: Balance[] }> {
    return this.db.inTenant(scopeOf(actor), async (tx) => {
      await this.facts.demandVisible(tx, actor.tenant, claimId);
      const rows = await this.store.ofClaim(tx, actor.tenant, claimId);
      return { rows, balances: await this.ledger.balances(tx, actor.tenant, claimId) };
    });
  }

  /** @throws Refused not-found */
  file(actor: Actor, id: string): Promise<RecoveryFile> {
    return this.db.inTenant(scopeOf(actor), async (tx) => {
      const row = await this.store.find(tx, actor.tenant, id);
      const { completeness, clocks } = await this.facts.judged(tx, row, this.hands.now());
      return { row, completeness, clocks, events: await this.store.events(tx, actor.tenant, id) };
    });
  }

  /** Adds facts about the carriage, papers and how the demand stands; the limit is found anew while the demand is not sent. */
  addParticulars(actor: Actor, id: string, added: Particulars, match: VersionMatch): Promise<RecoveryRow> {
    return this.hands.take(actor, id, match, async (hand) => {
      const { tx, row, at } = hand;
      const particulars = mergedParticulars(row.particulars, added);
      await this.hands.note(hand, 'particulars-added', { ...added });
      if (added.transport === undefined) return this.store.update(tx, row, { particulars }, at);
      if (row.state !== 'open') {
        throw new Refused(
          'recovery-state-forbids',
          'The demand is sent; how the goods were carried can be changed only while it is open.',
        );
      }
      const plan = await this.opening.plan(tx, row.tenantId, await this.facts.claimOf(tx, row), particulars);
      const demand = plan.demands.find(({ party }) => party === row.party) ?? row.demand;
      const change = { particulars, demand, needs: plan.needs, demandedMinor: demand.totalMinor };
      const changed = await this.store.update(tx, row, change, at);
      await this.shiftCut(hand, plan.demands);
      return changed;
    });
  }

  /**
   * Sends the demand: what is owed is booked.
   * @param wish `despite` says why a demand that is no complete claim goes out all the same
   * @throws Invalid recovery-incomplete, naming every element that is missing and what mends it
   */
  send(
    actor: Actor,
    id: string,
    wish: { readonly despite?: string | undefined; readonly words?: string | undefined },
    match: VersionMatch,
  ): Promise<RecoveryRow> {
    return this.hands.take(actor, id, match, async (hand) => {
      const { row, at } = hand;
      const { completeness } = await this.facts.judged(hand.tx, row, at);
      if (completeness.standing !== 'complete claim' && wish.despite === undefined && row.demandedMinor > 0) {
        throw new Invalid(
          whatIsMissing(completeness),
          'recovery-incomplete',
          `What would go out is ${inWords(completeness.standing)}.`,
        );
      }
      const { words, despite } = wish;
      const body = {
        standing: completeness.standing,
        ...(words === undefined ? {} : { words }),
        ...(despite === undefined ? {} : { despite }),
      };
      const sent = await this.hands.perform(hand, { kind: 'send' }, body, { sentAt: row.sentAt ?? at });
      // What is no complete claim starts none of the carrier's clocks (49 CFR 370.3(c)).
      if (completeness.standing === 'complete claim') await this.hands.tellClocks(hand, ['carrier claim received'], at);
      return sent;
    });
  }

  /** The party acknowledged the demand under its own number. */
  acknowledge(
    actor: Actor,
    id: string,
    said: { readonly reference: string; readonly at?: string | undefined },
    match: VersionMatch,
  ): Promise<RecoveryRow> {
    return this.hands.take(actor, id, match, async (hand) => {
      const acknowledgedAt = this.past(said.at, hand);
      const change = { theirReference: said.reference, acknowledgedAt };
      const acknowledged = await this.hands.perform(hand, { kind: 'acknowledge' }, { ...said }, change);
      await this.hands.tellClocks(hand, ['carrier acknowledged'], acknowledgedAt);
      return acknowledged;
    });
  }

  /** The party offered an amount. A compromise offer declines nothing. */
  offer(
    actor: Actor,
    id: string,
    made: Amount & { readonly words?: string | undefined },
    match: VersionMatch,
  ): Promise<RecoveryRow> {
    return this.amountAct(actor, id, {
      made,
      match,
      wish: { kind: 'offer', amountMinor: made.amountMinor },
      answered: true,
    });
  }

  /** Money came in. */
  pay(
    actor: Actor,
    id: string,
    made: Amount & { readonly reference: string },
    match: VersionMatch,
  ): Promise<RecoveryRow> {
    return this.amountAct(actor, id, {
      made,
      match,
      wish: { kind: 'pay', amountMinor: made.amountMinor },
      answered: true,
    });
  }

  /** The damaged goods fetched something, which the party is credited with. */
  creditSalvage(
    actor: Actor,
    id: string,
    made: Amount & { readonly reference: string },
    match: VersionMatch,
  ): Promise<RecoveryRow> {
    return this.amountAct(actor, id, {
      made,
      match,
      wish: { kind: 'credit salvage', amountMinor: made.amountMinor },
      answered: false,
    });
  }

  /** The party declined in writing, in whole or in part. */
  decline(
    actor: Actor,
    id: string,
    said: { readonly words: string; readonly at?: string | undefined },
    match: VersionMatch,
  ): Promise<RecoveryRow> {
    return this.hands.take(actor, id, match, async (hand) => {
      const answeredAt = this.past(said.at, hand);
      const declined = await this.hands.perform(hand, { kind: 'decline' }, { ...said }, { answeredAt });
      await this.hands.tellClocks(hand, ['carrier disposed', 'carrier disallowed'], answeredAt);
      return declined;
    });
  }

  /** Gives up what is still owed, or a part of it. */
  writeOff(
    actor: Actor,
    id: string,
    made: {
      readonly amountMinor?: number | undefined;
      readonly currency?: string | undefined;
      readonly reason: string;
    },
    match: VersionMatch,
  ): Promise<RecoveryRow> {
    return this.hands.take(actor, id, match, (hand) => {
      if (made.amountMinor === undefined)
        return this.hands.perform(hand, { kind: 'write off' }, { reason: made.reason });
      sameCurrency(hand.row, made.currency ?? hand.row.currency);
      return this.hands.perform(hand, { kind: 'write off', amountMinor: made.amountMinor }, { reason: made.reason });
    });
  }

  private amountAct(
    actor: Actor,
    id: string,
    by: {
      readonly made: Amount & object;
      readonly match: VersionMatch;
      readonly wish: RecoveryAct;
      readonly answered: boolean;
    },
  ): Promise<RecoveryRow> {
    return this.hands.take(actor, id, by.match, async (hand) => {
      sameCurrency(hand.row, by.made.currency);
      const first = by.answered && hand.row.answeredAt === null;
      const change: RecoveryChange = first ? { answeredAt: hand.at } : {};
      const done = await this.hands.perform(hand, by.wish, { ...by.made }, change);
      // Paying, or a firm offer in writing, disposes of a claim as much as declining does (49 CFR 370.9(a)).
      if (first) await this.hands.tellClocks(hand, ['carrier disposed'], hand.at);
      return done;
    });
  }

  /** What one party's limit cuts off falls on another party, whose demand changes with it while it is open. */
  private async shiftCut(hand: RecoveryInHand, demands: readonly RecoveryRow['demand'][]): Promise<void> {
    const { tx, row, at, actor } = hand;
    for (const other of await this.store.ofClaim(tx, row.tenantId, row.claimId, true)) {
      const demand = demands.find(({ party }) => party === other.party);
      if (other.id === row.id || demand === undefined || demand.totalMinor === other.demandedMinor) continue;
      const state = other.bookedMinor === 0 || other.state === 'open' ? other.state : 'open';
      const actorStamp = { kind: actor.kind, id: actor.id, name: actor.name };
      const body = {
        because: `the limit of the ${row.party}`,
        before: other.demandedMinor,
        demandedMinor: demand.totalMinor,
        currency: row.currency,
      };
      await this.store.append(tx, other, { kind: 'demand-changed', at, actor: actorStamp, body });
      await this.store.update(tx, other, { demand, demandedMinor: demand.totalMinor, state }, at);
    }
    const known = new Set((await this.store.ofClaim(tx, row.tenantId, row.claimId)).map(({ party }) => party));
    for (const demand of demands) {
      if (known.has(demand.party as RecoveryRow['party']) || demand.totalMinor === 0) continue;
      await this.opening.openFor(tx, row, demand);
    }
  }

  /** An instant that somebody says something happened, or now; nothing happens later than now. */
  private past(at: string | undefined, hand: RecoveryInHand): string {
    if (at === undefined) return hand.at;
    if (Temporal.Instant.compare(Temporal.Instant.from(at), Temporal.Instant.from(hand.at)) <= 0) return at;
    throw new Invalid([{ pointer: '#/at', detail: 'This lies in the future; say when it happened.' }]);
  }
}

function whatIsMissing(completeness: Completeness): Fault[] {
  return completeness.elements
    .filter(({ state }) => state !== 'met')
    .map(({ id, says, mends, source }) => ({ pointer: `#/${id}`, detail: `${says}: ${mends} (${source})` }));
}

function inWords(standing: Completeness['standing']): string {
  switch (standing) {
    case 'amount required':
      return 'a claim for an uncertain amount, which nobody pays before a definite figure arrives';
    case 'notice of damage':
      return 'only a notice of damage and no claim';
    default:
      return 'no claim';
  }
}

function sameCurrency(row: RecoveryRow, currency: string): void {
  if (row.currency === currency) return;
  throw new Refused(
    'amount-currency-differs',
    `The recovery is in ${row.currency}; an amount in ${currency} cannot be booked on it.`,
  );
}
