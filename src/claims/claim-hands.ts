import { Injectable } from '@nestjs/common';
import type { EntityManager } from 'typeorm';
import type { Actor } from '../access/access.contract.js';
import { Clock } from '../platform/clock.js';
import { Database } from '../platform/db/database.js';
import { scopeOf } from '../platform/http/caller.js';
import { Refused } from '../platform/http/problems.js';
import type { VersionMatch } from '../platform/http/versions.js';
import type { ClaimEventKind, ClaimLife, Transition } from './claims.contract.js';
import { ClockWatchService } from './clock-watch.service.js';
import { step, type ClaimAct } from './domain/claim-life.js';
import { isoInstant } from './domain/iso-instant.js';
import { stampOf } from './domain/stamp-of.js';
import type { ClaimRow } from './store/claim.entity.js';
import { ClaimStore } from './store/claim.store.js';

/** A claim in somebody's hands: locked, at the version they saw, with its life read. */
export interface InHand {
  readonly tx: EntityManager;
  readonly actor: Actor;
  readonly row: ClaimRow;
  readonly life: ClaimLife;
  readonly at: string;
}

/** Takes claims in hand one person at a time, and notes in the event trail what that person does. */
@Injectable()
export class ClaimHands {
  constructor(
    private readonly db: Database,
    private readonly store: ClaimStore,
    private readonly watch: ClockWatchService,
    private readonly clock: Clock,
  ) {}

  /**
   * Locks the claim, checks that the caller has seen its current version, and does the work in one transaction. The claim's clocks
   * follow what was done.
   * @throws Refused not-found, version-changed
   */
  take(actor: Actor, id: string, match: VersionMatch, work: (hand: InHand) => Promise<ClaimRow>): Promise<ClaimRow> {
    return this.db.inTenant(scopeOf(actor), async (tx) => {
      const row = await this.store.lock(tx, actor.tenant, id);
      match.demand(row.version);
      const life = await this.store.life(tx, row);
      const at = isoInstant(this.clock.now());
      const after = await work({ tx, actor, row, life, at });
      await this.watch.refresh(tx, after, at);
      return after;
    });
  }

  /** Chains one event by the person who holds the claim. */
  async note(hand: InHand, kind: ClaimEventKind, body: object): Promise<void> {
    await this.store.append(hand.tx, hand.row, [{ kind, at: hand.at, actor: stampOf(hand.actor), body: { ...body } }]);
  }
}

/** The step that an act takes. @throws Refused when the claim's life does not allow it. */
export function allowed(life: ClaimLife, act: ClaimAct): Transition {
  const outcome = step(life, act);
  if (!outcome.ok) throw new Refused(outcome.refusal, outcome.detail);
  return outcome;
}
