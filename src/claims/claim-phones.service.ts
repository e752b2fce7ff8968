import { Injectable } from '@nestjs/common';
import type { EntityManager } from 'typeorm';
import { demand } from '../access/access.service.js';
import type { Actor } from '../access/access.contract.js';
import { EvidenceService } from '../evidence/evidence.service.js';
import type { AnswerValue } from '../inspections/inspections.contract.js';
import { PhoneFactsService, type LostPhone } from '../inspections/phone-facts.service.js';
import { PhonesService } from '../inspections/phones.service.js';
import { SettledAnswersService } from '../inspections/settled-answers.service.js';
import { Clock } from '../platform/clock.js';
import { Database } from '../platform/db/database.js';
import { scopeOf } from '../platform/http/caller.js';
import { Refused } from '../platform/http/problems.js';
import { VersionMatch } from '../platform/http/versions.js';
import { ClaimHands } from './claim-hands.js';
import { ClaimReviewService } from './claim-review.service.js';
import { step } from './domain/claim-life.js';
import { isoInstant } from './domain/iso-instant.js';
import { stampOf } from './domain/stamp-of.js';
import type { ClaimRow } from './store/claim.entity.js';
import { ClaimStore } from './store/claim.store.js';

/** What a person knows of a phone when they call it lost. */
export interface PhoneLoss {
  readonly because: string;
  /** RFC 3339; when it had been heard last. */
  readonly heardAt: string;
}

/** What becomes of claims where phones are lost or do not agree. */
@Injectable()
export class ClaimPhonesService {
  constructor(
    private readonly db: Database,
    private readonly clock: Clock,
    private readonly store: ClaimStore,
    private readonly hands: ClaimHands,
    private readonly review: ClaimReviewService,
    private readonly facts: PhoneFactsService,
    private readonly phones: PhonesService,
    private readonly settled: SettledAnswersService,
    private readonly evidence: EvidenceService,
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
      for (const { id } of lost.claims) await this.tell(tx, actor, id, { lost, because: loss.because });
      return lost;
    });
  }

  /**
   * Settles a check on which two phones do not agree. A claim that was proposed on the other answer is assessed anew; a decision that
   * stands does not change by itself.
   * @throws Refused `not-found`, `version-changed`, `claim-state-forbids`, `claim-withdrawn`; Invalid `answer-invalid`
   */
  settle(
    actor: Actor,
    claimId: string,
    wish: { readonly item: string; readonly value: AnswerValue; readonly words: string },
    match: VersionMatch,
  ): Promise<ClaimRow> {
    return this.hands.take(actor, claimId, match, async (hand) => {
      const { tx, row, at, life } = hand;
      if (row.state === 'withdrawn')
        throw new Refused('claim-withdrawn', 'The claim was withdrawn; nothing hangs on the answer any more.');
      if (row.inspectionId === null)
        throw new Refused('not-found', 'The claim rests on no inspection, so there is nothing to settle.');
      if (life.awaiting !== null) {
        const detail = 'A decision is waiting for a second person; it must be confirmed or sent back first.';
        throw new Refused('claim-state-forbids', detail);
      }
      const { item, value, words } = wish;
      const { answers } = await this.settled.settle(tx, actor, row.inspectionId, wish);
      const given = answers.map(({ crew, value: said }) => ({ crew, value: said }));
      await this.hands.note(hand, 'answer-settled', { item, value, words, given });
      if (row.state !== 'proposed') return this.store.update(tx, row, {}, at);
      const again = { words: `The check "${item}" was settled. ${words}`, facts: {} };
      return this.review.lookAgain(actor, row.id, again, VersionMatch.read('*'));
    });
  }

  private async tell(
    tx: EntityManager,
    actor: Actor,
    id: string,
    { lost, because }: { readonly lost: LostPhone; readonly because: string },
  ): Promise<void> {
    const row = await this.store.lock(tx, actor.tenant, id);
    if (row.state === 'withdrawn') return;
    const at = isoInstant(this.clock.now());
    const { phone, crew, photosOwed: photos, factsOwed: facts } = lost;
    const body = { phone, crew, photos, facts, reason: because };
    await this.store.append(tx, row, [{ kind: 'phone-lost', at, actor: stampOf(actor), body }]);
    await this.store.update(tx, row, {}, at);
    if (!(await this.sawTooLittle(tx, row))) return;
    const words = `Photos that came after the proposal count now: the phone with the others is lost. ${because}`;
    await this.review.lookAgain(actor, id, { words, facts: {} }, VersionMatch.read('*'));
  }

  /** A proposal was made, photos came after it, and no more will come. */
  private async sawTooLittle(tx: EntityManager, row: ClaimRow): Promise<boolean> {
    if (row.state !== 'proposed' || row.proposedAt === null || row.inspectionId === null) return false;
    if (!step(await this.store.life(tx, row), 'look again').ok) return false;
    if ((await this.phones.photosOwed(tx, row.tenantId, row.inspectionId)) > 0) return false;
    return (await this.evidence.arrivedAfter(tx, row.tenantId, row.inspectionId, row.proposedAt)) > 0;
  }
}
