import { Injectable } from '@nestjs/common';
import type { Actor } from '../access/access.contract.js';
import type { Assessment, ClaimFile } from '../adjudication/adjudication.contract.js';
import { Invalid, Refused } from '../platform/http/problems.js';
import type { VersionMatch } from '../platform/http/versions.js';
import type { WordsToRetailer } from './claims.contract.js';
import { allowed, ClaimHands, type InHand } from './claim-hands.js';
import { ClaimLedger } from './claim-ledger.js';
import { checkSecondPerson, decideClaim, type Decided, type DecisionWish } from './domain/decide-claim.js';
import type { DecidedRemedy } from './domain/decided-cost.js';
import { explanationFaults } from './domain/lesson-of.js';
import { proposalOf } from './domain/proposal-of.js';
import type { ClaimDecisionRow, ClaimRow } from './store/claim.entity.js';
import { ClaimStore } from './store/claim.store.js';

/** A decision that is about to stand. */
interface Standing {
  readonly id: string;
  readonly assessmentId: string;
  readonly decided: DecidedRemedy;
}

/** Decisions on claims, and the second person that large ones need. */
@Injectable()
export class ClaimDecisionsService {
  constructor(
    private readonly store: ClaimStore,
    private readonly hands: ClaimHands,
    private readonly ledger: ClaimLedger,
  ) {}

  /** Decides a claim, or prepares the decision for a second person where the policy's limit demands one. */
  decide(actor: Actor, id: string, wish: Omit<DecisionWish, 'by'>, match: VersionMatch): Promise<ClaimRow> {
    return this.hands.take(actor, id, match, async (hand) => {
      const { tx, row, life, at } = hand;
      const stored = row.assessmentId === null ? null : await this.store.assessment(tx, row.tenantId, row.assessmentId);
      if (!stored) {
        allowed(life, 'decide');
        throw new Refused('nothing-to-decide', 'The service has not made its proposal yet.');
      }
      const assessment = stored.assessment as Assessment;
      const wrong = wish.explanations === undefined ? [] : explanationFaults(assessment.findings, wish.explanations);
      if (wrong.length > 0) throw new Invalid(wrong);
      const proposal = proposalOf(assessment, (stored.facts as ClaimFile).order);
      const decided = decideClaim(life, proposal, { ...wish, by: actor.id });
      if (!decided.ok) throw new Refused(decided.refusal, decided.detail);
      const decision = await this.addDecision(hand, { decided, wish, assessmentId: stored.id });
      const body = {
        n: decision.n,
        outcome: decided.outcome,
        totalMinor: decided.totalMinor,
        currency: row.currency,
        remedies: decided.remedies,
      };
      const why = {
        overrides: decided.overrides,
        ...(wish.reason ? { reason: wish.reason } : {}),
        ...(wish.words ? { words: wish.words } : {}),
        ...(wish.explanations ? { explanations: wish.explanations } : {}),
        ...saidTo(wish.toRetailer),
      };
      await this.hands.note(hand, 'decision-made', { ...body, ...why, secondPerson: decided.needsSecondPerson });
      if (decided.needsSecondPerson) return this.store.update(tx, row, {}, at);
      return this.stand(hand, { id: decision.id, assessmentId: stored.id, decided }, body);
    });
  }

  /** The second person agrees: the decision stands. */
  confirm(actor: Actor, id: string, n: number, match: VersionMatch): Promise<ClaimRow> {
    return this.hands.take(actor, id, match, async (hand) => {
      const decision = await this.waiting(hand, n);
      const confirmed = {
        confirmedBy: actor.id,
        confirmedAt: hand.at,
        state: 'standing',
        body: { ...decision.body, confirmedByName: actor.name },
      } as const;
      await this.supersede(hand);
      await this.store.changeDecision(hand.tx, decision, confirmed);
      const { outcome, totalMinor, assessmentId } = decision;
      const { remedies, overrides } = decision.body;
      const body = { n, outcome, totalMinor, currency: hand.row.currency, remedies };
      return this.stand(hand, { id: decision.id, assessmentId, decided: { remedies, overrides, totalMinor } }, body);
    });
  }

  /** The second person does not agree: the claim is open for another decision. */
  sendBack(actor: Actor, id: string, n: number, because: string, match: VersionMatch): Promise<ClaimRow> {
    return this.hands.take(actor, id, match, async (hand) => {
      const decision = await this.waiting(hand, n);
      await this.store.changeDecision(hand.tx, decision, {
        state: 'sent back',
        body: { ...decision.body, sentBackBecause: because },
      });
      await this.hands.note(hand, 'decision-sent-back', { n, because });
      return this.store.update(hand.tx, hand.row, {}, hand.at);
    });
  }

  private async addDecision(
    hand: InHand,
    made: { readonly decided: Decided; readonly wish: Omit<DecisionWish, 'by'>; readonly assessmentId: string },
  ): Promise<{ id: string; n: number }> {
    const { tx, row, at, actor } = hand;
    const { decided, wish, assessmentId } = made;
    const n = (await this.store.decisions(tx, row.tenantId, row.id)).length + 1;
    if (!decided.needsSecondPerson) await this.supersede(hand);
    const id = await this.store.addDecision(tx, {
      tenantId: row.tenantId,
      claimId: row.id,
      n,
      assessmentId,
      outcome: decided.outcome,
      state: decided.needsSecondPerson ? 'awaiting second person' : 'standing',
      body: {
        remedies: decided.remedies,
        overrides: decided.overrides,
        decidedByName: actor.name,
        ...(wish.explanations ? { explanations: wish.explanations } : {}),
        ...saidTo(wish.toRetailer),
      },
      totalMinor: decided.totalMinor,
      reasonCode: wish.reason ?? null,
      words: wish.words ?? null,
      decidedBy: actor.id,
      decidedAt: at,
      confirmedBy: null,
      confirmedAt: null,
    });
    return { id, n };
  }

  /** The decision that stood until now stays readable, and stands no longer. */
  private async supersede(hand: InHand): Promise<void> {
    for (const decision of await this.store.decisions(hand.tx, hand.row.tenantId, hand.row.id)) {
      if (decision.state !== 'standing') continue;
      await this.store.changeDecision(hand.tx, decision, { state: 'superseded' });
      const settlements = await this.store.settlements(hand.tx, hand.row.tenantId, hand.row.id);
      const paid = settlements.some(({ decisionId }) => decisionId === decision.id);
      if (!paid) await this.ledger.decisionSuperseded(hand, decision.id);
    }
  }

  private async stand(hand: InHand, made: Standing, body: Record<string, unknown>): Promise<ClaimRow> {
    const { tx, row, at } = hand;
    const next = allowed(hand.life, 'decide');
    const stored = await this.store.assessment(tx, row.tenantId, made.assessmentId);
    if (!stored) throw new Error('a decision rests on an assessment that is gone');
    await this.hands.note(hand, next.kind, body);
    const { decided } = made;
    await this.ledger.decisionStands(hand, made.id, { assessment: stored.assessment as Assessment, decided });
    return this.store.update(tx, row, { state: next.next, decidedAt: at, decisionId: made.id }, at);
  }

  private async waiting(hand: InHand, n: number): Promise<ClaimDecisionRow> {
    const refusal = checkSecondPerson(hand.life, n, hand.actor.id);
    if (refusal) throw new Refused(refusal.refusal, refusal.detail);
    const decision = (await this.store.decisions(hand.tx, hand.row.tenantId, hand.row.id)).find((row) => row.n === n);
    if (!decision) throw new Refused('not-found', 'There is no decision of this number.');
    return decision;
  }
}

/** Words to the retailer as they are kept: a language in which nothing is said is left out. */
function saidTo(words: WordsToRetailer | undefined): { readonly toRetailer?: WordsToRetailer } {
  const [en, es] = [words?.en?.trim() ?? '', words?.es?.trim() ?? ''];
  if (en === '' && es === '') return {};
  return { toRetailer: { ...(en === '' ? {} : { en }), ...(es === '' ? {} : { es }) } };
}
