import { Injectable } from '@nestjs/common';
import type { EntityManager } from 'typeorm';
import type { Actor } from '../access/access.contract.js';
import { EvidenceService } from '../evidence/evidence.service.js';
import { PhonesService } from '../inspections/phones.service.js';
import { Database } from '../platform/db/database.js';
import { scopeOf } from '../platform/http/caller.js';
import { Refused } from '../platform/http/problems.js';
import { VersionMatch } from '../platform/http/versions.js';
import { ClaimReviewService } from './claim-review.service.js';
import { ClaimsService, type NewClaim } from './claims.service.js';
import type { ClaimRow } from './store/claim.entity.js';
import { ClaimStore } from './store/claim.store.js';

/** A claim as a phone is told of it. */
export interface ArrivedClaim {
  readonly row: ClaimRow;
  /** The unit has a claim from before, and this one was added to it: `row` is that one. */
  readonly addedTo: boolean;
  /** Photos of the inspection that a phone says it holds and that have not come. */
  readonly photosOwed: number;
}

/** Claims as phones send them: first of all, before their photos, and again once the photos are through. */
@Injectable()
export class ClaimArrivalsService {
  constructor(
    private readonly db: Database,
    private readonly claims: ClaimsService,
    private readonly store: ClaimStore,
    private readonly evidence: EvidenceService,
    private readonly phones: PhonesService,
    private readonly review: ClaimReviewService,
  ) {}

  /**
   * Files a claim under the id that the phone made. Sending it again files nothing twice; when the last photo has come since the
   * proposal was made, the claim goes back to be assessed with it. A unit that has an open claim gets no second one: what came is added
   * to the first, and the phone is told the number of that one.
   * @throws Refused `not-found`, `serial-not-in-visit`, `duplicate-claim`, `claim-incomplete`
   */
  arrive(actor: Actor, wish: NewClaim): Promise<ArrivedClaim> {
    return this.db.inTenant(scopeOf(actor), async (tx) => {
      const own = await this.openOwn(tx, actor, wish);
      const found = own ?? (await this.standing(tx, actor, wish));
      const photosOwed = wish.inspectionId === null ? 0 : await this.owed(tx, actor, wish.inspectionId);
      const words = await this.whatIsNew(tx, found, { wish, addedTo: own === undefined, photosOwed });
      const row = words === undefined ? found : await this.lookAgain(actor, found, words);
      return { row, addedTo: own === undefined, photosOwed };
    });
  }

  /** No more photos will come: a proposal that was made before some of them did is made once more. A claim in any other state stays. */
  async photosAreThrough(tx: EntityManager, actor: Actor, row: ClaimRow): Promise<void> {
    if (row.state !== 'proposed' || row.proposedAt === null || row.inspectionId === null) return;
    if ((await this.store.life(tx, row)).awaiting !== null || (await this.owed(tx, actor, row.inspectionId)) > 0)
      return;
    const late = await this.evidence.arrivedAfter(tx, row.tenantId, row.inspectionId, row.proposedAt);
    if (late > 0) await this.lookAgain(actor, row, lateWords(late));
  }

  /** Undefined where the unit has another open claim. */
  private async openOwn(tx: EntityManager, actor: Actor, wish: NewClaim): Promise<ClaimRow | undefined> {
    try {
      const { id } = await this.db.attempt(tx, () => this.claims.open(actor, wish));
      return await this.store.lock(tx, actor.tenant, id);
    } catch (error) {
      if (error instanceof Refused && error.code === 'duplicate-claim') return undefined;
      throw error;
    }
  }

  private async standing(tx: EntityManager, actor: Actor, wish: NewClaim): Promise<ClaimRow> {
    const row = await this.store.lockOpenOn(tx, actor.tenant, wish.visitId, wish.serial);
    if (row !== null && row.id !== wish.id) return row;
    throw new Refused('duplicate-claim', 'Another claim was opened under this id. Use a new id for a new claim.');
  }

  private owed(tx: EntityManager, actor: Actor, inspectionId: string): Promise<number> {
    return this.phones.photosOwed(tx, actor.tenant, inspectionId);
  }

  /** What a proposal that was made already has not seen. Photos count once all of them are here, so that one look is enough. */
  private async whatIsNew(
    tx: EntityManager,
    row: ClaimRow,
    { wish, addedTo, photosOwed }: { readonly wish: NewClaim; readonly addedTo: boolean; readonly photosOwed: number },
  ): Promise<string | undefined> {
    if (row.state !== 'proposed' || row.proposedAt === null || photosOwed > 0) return undefined;
    if (addedTo) {
      const before = await this.store.events(tx, row.tenantId, row.id);
      const marker = `claim ${wish.id}`;
      if (before.some(({ body }) => JSON.stringify(body).includes(marker))) return undefined;
      return `Another phone sent ${marker} for the same unit. ${wish.words ?? ''}`.trim();
    }
    if (row.inspectionId === null) return undefined;
    const late = await this.evidence.arrivedAfter(tx, row.tenantId, row.inspectionId, row.proposedAt);
    return late === 0 ? undefined : lateWords(late);
  }

  private lookAgain(actor: Actor, row: ClaimRow, words: string): Promise<ClaimRow> {
    return this.review.lookAgain(actor, row.id, { words, facts: {} }, VersionMatch.read('*'));
  }
}

function lateWords(late: number): string {
  return `Photos that came after the proposal: ${late}.`;
}
