import { Injectable } from '@nestjs/common';
import type { Actor } from '../access/access.contract.js';
import { Database } from '../platform/db/database.js';
import { scopeOf } from '../platform/http/caller.js';
import { Refused } from '../platform/http/problems.js';
import type { VersionMatch } from '../platform/http/versions.js';
import { Jobs } from '../platform/jobs/jobs.js';
import { allowed, ClaimHands } from './claim-hands.js';
import { ASSESS_CLAIM } from './claims.service.js';
import { standsAt, type StandsAt } from './domain/retailer-view.js';
import type { SuppliedFacts } from './domain/compose-claim-file.js';
import type {
  ClaimAssessmentRow,
  ClaimDecisionRow,
  ClaimRow,
  InformationRequestRow,
  SettlementRow,
} from './store/claim.entity.js';
import { ClaimStandingReadModel } from './store/claim-standing.read-model.js';
import { ClaimStore } from './store/claim.store.js';

/** Everything that stands in a claim's file beside the claim itself. */
export interface ClaimDossier {
  readonly assessment: ClaimAssessmentRow | null;
  readonly decisions: readonly ClaimDecisionRow[];
  readonly questions: readonly InformationRequestRow[];
  readonly settlements: readonly SettlementRow[];
}

/** What comes after filing and before a decision, and again after one: questions, answers, another look, appeals. */
@Injectable()
export class ClaimReviewService {
  constructor(
    private readonly db: Database,
    private readonly store: ClaimStore,
    private readonly hands: ClaimHands,
    private readonly jobs: Jobs,
    private readonly standings: ClaimStandingReadModel,
  ) {}

  /** Where a claim stands and what comes next, in words. @throws Refused not-found */
  standing(actor: Actor, id: string): Promise<StandsAt> {
    return this.db.inTenant(scopeOf(actor), async (tx) => {
      const facts = await this.standings.of(tx, actor.tenant, id);
      if (facts === undefined) throw new Refused('not-found', 'There is no claim with this id.');
      return standsAt(facts.state, facts.outcome, facts.promisedAt, facts.question);
    });
  }

  /** The claim's file: assessment, decisions, questions, settlements. */
  dossier(actor: Actor, id: string): Promise<ClaimDossier> {
    return this.db.inTenant(scopeOf(actor), async (tx) => {
      const row = await this.store.find(tx, actor.tenant, id);
      return {
        assessment: row.assessmentId === null ? null : await this.store.assessment(tx, actor.tenant, row.assessmentId),
        decisions: await this.store.decisions(tx, actor.tenant, id),
        questions: await this.store.questions(tx, actor.tenant, id),
        settlements: await this.store.settlements(tx, actor.tenant, id),
      };
    });
  }

  /** Asks somebody for something the decision needs. */
  ask(
    actor: Actor,
    id: string,
    question: { asked: string; of: InformationRequestRow['ofParty'] },
    match: VersionMatch,
  ): Promise<ClaimRow> {
    return this.hands.take(actor, id, match, async (hand) => {
      const { tx, row, life, at } = hand;
      const next = allowed(life, 'ask');
      const asked = {
        tenantId: row.tenantId,
        claimId: id,
        asked: question.asked,
        ofParty: question.of,
        askedBy: actor.name,
        askedAt: at,
      };
      await this.store.ask(tx, { ...asked, answer: null, answeredBy: null, answeredAt: null });
      await this.hands.note(hand, next.kind, { asked: question.asked, of: question.of });
      return this.store.update(tx, row, { state: next.next }, at);
    });
  }

  /** Writes a note into the trail, for the desk alone. Nothing else about the claim changes. */
  remark(actor: Actor, id: string, words: string, match: VersionMatch): Promise<ClaimRow> {
    return this.hands.take(actor, id, match, async (hand) => {
      await this.hands.note(hand, 'note-written', { words });
      return this.store.update(hand.tx, hand.row, {}, hand.at);
    });
  }

  /** Answers every open question with words and, where they are known now, facts; then the claim is assessed anew. */
  giveInformation(
    actor: Actor,
    id: string,
    given: { words: string; facts: SuppliedFacts },
    match: VersionMatch,
  ): Promise<ClaimRow> {
    return this.hands.take(actor, id, match, async (hand) => {
      const { tx, row, life, at } = hand;
      const next = allowed(life, 'give information');
      for (const question of await this.store.questions(tx, row.tenantId, id)) {
        if (question.answeredAt === null)
          await this.store.answer(tx, question, { text: given.words, by: actor.name, at });
      }
      await this.hands.note(hand, next.kind, { words: given.words, facts: given.facts });
      await this.jobs.enqueue(tx, ASSESS_CLAIM, { tenant: row.tenantId, claim: id });
      return this.store.update(tx, row, { state: next.next, supplied: { ...row.supplied, ...given.facts } }, at);
    });
  }

  /** Has a proposed claim assessed again, because evidence or facts came after the proposal. */
  lookAgain(
    actor: Actor,
    id: string,
    given: { words: string; facts: SuppliedFacts },
    match: VersionMatch,
  ): Promise<ClaimRow> {
    return this.refile(actor, id, { ...given, act: 'look again' }, match);
  }

  /** Opens a decided claim again by appeal or new evidence. The decision stays readable until another supersedes it. */
  reopen(
    actor: Actor,
    id: string,
    given: { words: string; facts: SuppliedFacts },
    match: VersionMatch,
  ): Promise<ClaimRow> {
    return this.refile(actor, id, { ...given, act: 'reopen' }, match);
  }

  private refile(
    actor: Actor,
    id: string,
    given: { readonly act: 'look again' | 'reopen'; readonly words: string; readonly facts: SuppliedFacts },
    match: VersionMatch,
  ): Promise<ClaimRow> {
    return this.hands.take(actor, id, match, async (hand) => {
      const { tx, row, at } = hand;
      const next = allowed(hand.life, given.act);
      await this.hands.note(hand, next.kind, { words: given.words, facts: given.facts });
      await this.jobs.enqueue(tx, ASSESS_CLAIM, { tenant: row.tenantId, claim: id });
      const change = { state: next.next, supplied: { ...row.supplied, ...given.facts }, closedAt: null };
      return this.store.update(tx, row, change, at);
    });
  }
}
