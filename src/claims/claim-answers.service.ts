import { Injectable } from '@nestjs/common';
import type { Actor } from '../access/access.contract.js';
import type { AnswerValue } from '../inspections/inspections.contract.js';
import { SettledAnswersService } from '../inspections/settled-answers.service.js';
import { Refused } from '../platform/http/problems.js';
import { VersionMatch } from '../platform/http/versions.js';
import { ClaimHands } from './claim-hands.js';
import { ClaimReviewService } from './claim-review.service.js';
import type { ClaimRow } from './store/claim.entity.js';
import { ClaimStore } from './store/claim.store.js';

/** What becomes of a claim where two phones gave different answers to a check. */
@Injectable()
export class ClaimAnswersService {
  constructor(
    private readonly store: ClaimStore,
    private readonly hands: ClaimHands,
    private readonly review: ClaimReviewService,
    private readonly settled: SettledAnswersService,
  ) {}

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
}
