import { Injectable } from '@nestjs/common';
import type { EntityManager } from 'typeorm';
import type { Actor } from '../access/access.contract.js';
import type { CaseOutcome, CaseTrace, FrozenCase } from '../adjudication/records.contract.js';
import type { Remedy } from '../kernel/vocabulary.js';
import { Database } from '../platform/db/database.js';
import { scopeOf } from '../platform/http/caller.js';
import { Refused } from '../platform/http/problems.js';
import { DecisionRecordsService, traceText, type DecisionRecordRow } from '../policies/decision-records.service.js';
import type { CompiledPolicy } from '../policies/policies.contract.js';
import { whyNotRemedy, whyRecord, type RecordedQuestion, type RemedyNotGiven } from './domain/why-record.js';
import { JudgementRecordsService, type Replay } from './judgement-records.service.js';
import { ClaimStore } from './store/claim.store.js';

/** What is kept of one judgement, and what can be asked about it. */
@Injectable()
export class DecisionAnswersService {
  constructor(
    private readonly db: Database,
    private readonly claims: ClaimStore,
    private readonly records: DecisionRecordsService,
    private readonly judgements: JudgementRecordsService,
  ) {}

  /** The records of a claim, oldest first. @throws Refused `not-found` */
  ofClaim(actor: Actor, claimId: string): Promise<DecisionRecordRow[]> {
    return this.db.inTenant(scopeOf(actor), async (tx) => {
      await this.claims.find(tx, actor.tenant, claimId);
      return this.records.ofClaim(tx, actor.tenant, claimId);
    });
  }

  /** One record. @throws Refused `not-found` */
  read(actor: Actor, id: string): Promise<DecisionRecordRow> {
    return this.db.inTenant(scopeOf(actor), (tx) => this.records.find(tx, actor.tenant, id));
  }

  /** How the outcome came about, in the policy's own words. @throws Refused `not-found` */
  why(
    actor: Actor,
    id: string,
  ): Promise<{ readonly questions: readonly RecordedQuestion[] } & Pick<CaseTrace, 'parameters'>> {
    return this.db.inTenant(scopeOf(actor), async (tx) => {
      const { record, policy } = await this.demand(tx, actor, id);
      const trace = JSON.parse(traceText(record.trace)) as CaseTrace;
      return { parameters: trace.parameters, questions: whyRecord(trace, policy.document) };
    });
  }

  /** Why a remedy was not given. @throws Refused `not-found` */
  whyNot(actor: Actor, id: string, remedy: Remedy): Promise<RemedyNotGiven[]> {
    return this.db.inTenant(scopeOf(actor), async (tx) => {
      const { record, policy } = await this.demand(tx, actor, id);
      const frozen = JSON.parse(record.facts) as FrozenCase;
      return whyNotRemedy(frozen, JSON.parse(record.outcome) as CaseOutcome, policy, remedy);
    });
  }

  /** Makes the judgement again and compares, byte for byte. @throws Refused `not-found` */
  replay(actor: Actor, id: string): Promise<Replay> {
    return this.db.inTenant(scopeOf(actor), async (tx) =>
      this.judgements.replay(tx, await this.records.find(tx, actor.tenant, id)),
    );
  }

  private async demand(
    tx: EntityManager,
    actor: Actor,
    id: string,
  ): Promise<{ readonly record: DecisionRecordRow; readonly policy: CompiledPolicy }> {
    const record = await this.records.find(tx, actor.tenant, id);
    const { policy } = await this.records.underPolicy(tx, record);
    if (policy === undefined)
      throw new Refused('not-found', 'The policy that judged this claim is no longer kept as it was.');
    return { record, policy };
  }
}
