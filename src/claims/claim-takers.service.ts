import { Injectable } from '@nestjs/common';
import type { Actor } from '../access/access.contract.js';
import { Clock } from '../platform/clock.js';
import { Database } from '../platform/db/database.js';
import { scopeOf } from '../platform/http/caller.js';
import { Refused } from '../platform/http/problems.js';
import { isoInstant } from './domain/iso-instant.js';
import { stampOf } from './domain/stamp-of.js';
import type { ClaimRow } from './store/claim.entity.js';
import { ClaimStore } from './store/claim.store.js';
import { ClaimTakerStore, type Taker } from './store/claim-taker.store.js';

/**
 * Who of the desk has taken a claim. That is a sign for colleagues: it changes no right, no state, no clock and no version, and anybody
 * who may act on the claim still may.
 */
@Injectable()
export class ClaimTakersService {
  constructor(
    private readonly db: Database,
    private readonly store: ClaimStore,
    private readonly takers: ClaimTakerStore,
    private readonly clock: Clock,
  ) {}

  /** Who has a claim; null for nobody's. @throws Refused not-found */
  of(actor: Actor, id: string): Promise<Taker | null> {
    return this.db.inTenant(scopeOf(actor), async (tx) => {
      await this.store.find(tx, actor.tenant, id);
      return this.takers.of(tx, actor.tenant, id);
    });
  }

  /** How many claims the actor has that are neither closed nor withdrawn. */
  mine(actor: Actor): Promise<number> {
    return this.db.inTenant(scopeOf(actor), (tx) => this.takers.count(tx, actor.tenant, actor.id));
  }

  /**
   * Takes a claim. Taking what one has already changes nothing. Of two people at once the second is told of the first.
   * @param from id of whoever it is taken from on purpose
   * @throws Refused not-found, claim-taken, claim-withdrawn, claim-state-forbids when it is closed
   */
  take(actor: Actor, id: string, from?: string): Promise<Taker> {
    return this.db.inTenant(scopeOf(actor), async (tx) => {
      const row = await this.store.lock(tx, actor.tenant, id);
      const held = await this.takers.of(tx, actor.tenant, id);
      if (held?.id === actor.id) return held;
      demandAlive(row);
      if (held !== null && held.id !== from) throw takenBy(held, 'To take it over, name them in `from`.');
      const at = isoInstant(this.clock.now());
      await this.takers.put(tx, { tenant: actor.tenant, claim: id, person: actor.id }, at);
      const body = held === null ? {} : { takenFrom: held.name, takenFromId: held.id };
      await this.store.append(tx, row, [{ kind: 'claim-taken', at, actor: stampOf(actor), body }]);
      return { id: actor.id, name: actor.name, takenAt: at };
    });
  }

  /** Puts a claim back, for anybody. One that nobody has stays as it is. @throws Refused not-found, claim-taken */
  putBack(actor: Actor, id: string): Promise<void> {
    return this.db.inTenant(scopeOf(actor), async (tx) => {
      const row = await this.store.lock(tx, actor.tenant, id);
      const held = await this.takers.of(tx, actor.tenant, id);
      if (held === null) return;
      if (held.id !== actor.id) throw takenBy(held, 'Only they put it back; you can take it over.');
      const at = isoInstant(this.clock.now());
      await this.takers.remove(tx, actor.tenant, id);
      await this.store.append(tx, row, [{ kind: 'claim-put-back', at, actor: stampOf(actor), body: {} }]);
    });
  }
}

function takenBy({ id, name }: Taker, what: string): Refused {
  return new Refused('claim-taken', `${name} has this claim. ${what}`, { taker: { id, name } });
}

function demandAlive({ state }: ClaimRow): void {
  if (state === 'withdrawn')
    throw new Refused('claim-withdrawn', 'The claim was withdrawn; nothing is left to do in it.');
  if (state !== 'closed') return;
  throw new Refused(
    'claim-state-forbids',
    'The claim is closed; nothing is left to do in it. An appeal opens it again.',
  );
}
