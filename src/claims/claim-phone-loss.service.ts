import { Injectable } from '@nestjs/common';
import type { EntityManager } from 'typeorm';
import { demand } from '../access/access.service.js';
import type { Actor } from '../access/access.contract.js';
import { PhoneFactsService, type LostPhone } from '../inspections/phone-facts.service.js';
import { Clock } from '../platform/clock.js';
import { Database } from '../platform/db/database.js';
import { scopeOf } from '../platform/http/caller.js';
import { ClaimArrivalsService } from './claim-arrivals.service.js';
import { isoInstant } from './domain/iso-instant.js';
import { stampOf } from './domain/stamp-of.js';
import { ClaimStore } from './store/claim.store.js';

/** What a person knows of a phone when they call it lost. */
export interface PhoneLoss {
  readonly because: string;
  /** RFC 3339; when it had been heard last. */
  readonly heardAt: string;
}

/** What becomes of claims where a phone is lost. */
@Injectable()
export class ClaimPhoneLossService {
  constructor(
    private readonly db: Database,
    private readonly clock: Clock,
    private readonly store: ClaimStore,
    private readonly facts: PhoneFactsService,
    private readonly arrivals: ClaimArrivalsService,
  ) {}

  /**
   * A phone is lost, with what it has not sent. The claims of its visit say so and wait for nothing of it any more; one that was proposed
   * before the last photos came is looked at again.
   * @throws Refused `not-found`, `not-allowed`, `version-changed` where the phone has been heard since
   */
  lose(actor: Actor, visitId: string, phoneId: string, loss: PhoneLoss): Promise<LostPhone> {
    return this.db.inTenant(scopeOf(actor), async (tx) => {
      demand(actor, 'claim.assess', { tenant: actor.tenant, visit: visitId });
      const lost = await this.facts.lose(actor, visitId, phoneId, loss);
      for (const { id } of lost.claims) await this.tell(tx, actor, id, lost);
      return lost;
    });
  }

  private async tell(tx: EntityManager, actor: Actor, id: string, phone: LostPhone): Promise<void> {
    const row = await this.store.lock(tx, actor.tenant, id);
    if (row.state === 'withdrawn') return;
    const at = isoInstant(this.clock.now());
    const { crew, photosOwed: photos, factsOwed: facts, lost } = phone;
    const body = { phone: phone.phone, crew, photos, facts, reason: lost.because };
    await this.store.append(tx, row, [{ kind: 'phone-lost', at, actor: stampOf(actor), body }]);
    await this.store.update(tx, row, {}, at);
    await this.arrivals.photosAreThrough(tx, actor, row);
  }
}
