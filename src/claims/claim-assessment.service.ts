import { Injectable } from '@nestjs/common';
import type { EntityManager } from 'typeorm';
import type { Assessment, Clock as ClaimClock, ClaimFile, DocumentRef } from '../adjudication/adjudication.contract.js';
import type { TracedAssessment } from '../adjudication/records.contract.js';
import { contentHash } from '../kernel/canonical-json.js';
import { bad, good, type Fault, type Outcome } from '../kernel/outcome.js';
import { Clock } from '../platform/clock.js';
import { Database } from '../platform/db/database.js';
import { Refused } from '../platform/http/problems.js';
import { ClaimFactsService } from './claim-facts.service.js';
import { ClockWatchService } from './clock-watch.service.js';
import { isoInstant } from './domain/iso-instant.js';
import { step } from './domain/claim-life.js';
import { SERVICE_STAMP } from './domain/stamp-of.js';
import { JudgementRecordsService } from './judgement-records.service.js';
import type { ClaimRow } from './store/claim.entity.js';
import { ClaimStore } from './store/claim.store.js';

/** Turns filed claims into proposals. Runs as a job; running it twice does the same as running it once. */
@Injectable()
export class ClaimAssessmentService {
  constructor(
    private readonly db: Database,
    private readonly store: ClaimStore,
    private readonly facts: ClaimFactsService,
    private readonly records: JudgementRecordsService,
    private readonly watch: ClockWatchService,
    private readonly clock: Clock,
  ) {}

  /** Assesses a claim that is filed; does nothing when it no longer is. Facts that do not add up become a question instead of a proposal. */
  async assess(tenant: string, claimId: string): Promise<void> {
    await this.db.inTenant({ tenant }, async (tx) => {
      const row = await this.store.lock(tx, tenant, claimId);
      if (row.state !== 'filed') return;
      const at = isoInstant(this.clock.now());
      const judged = await this.judge(tx, row, at);
      if (judged.ok) await this.propose(tx, row, { ...judged.value, at });
      else await this.askForFacts(tx, row, judged.faults, at);
    });
  }

  /** The claim's facts and what they come to. What is missing around the claim, such as a policy for its place, is a fault like any other. */
  private async judge(
    tx: EntityManager,
    row: ClaimRow,
    at: string,
  ): Promise<Outcome<{ readonly file: ClaimFile; readonly traced: TracedAssessment }>> {
    try {
      const file = await this.facts.gather(tx, row, at);
      const outcome = await this.records.judge(tx, row.tenantId, file);
      return outcome.ok ? good({ file: pinned(file, outcome.value.assessment), traced: outcome.value }) : outcome;
    } catch (error) {
      if (!(error instanceof Refused)) throw error;
      return bad({ pointer: '#', detail: error.message });
    }
  }

  private async propose(
    tx: EntityManager,
    row: ClaimRow,
    made: { readonly file: ClaimFile; readonly traced: TracedAssessment; readonly at: string },
  ): Promise<void> {
    const { file, traced, at } = made;
    const { assessment } = traced;
    const started = step(await this.store.life(tx, row), 'start assessment');
    if (!started.ok) return;
    const assessmentId = await this.store.addAssessment(tx, {
      tenantId: row.tenantId,
      claimId: row.id,
      facts: file,
      factsHash: contentHash(file),
      assessment,
      madeAt: at,
    });
    const record = await this.records.keep(tx, row, { traced, assessmentId, at });
    const due = nearest(assessment.clocks);
    await this.store.append(tx, row, [
      { kind: started.kind, at, actor: SERVICE_STAMP, body: { facts: contentHash(file) } },
      {
        kind: 'claim-proposed',
        at,
        actor: SERVICE_STAMP,
        body: {
          assessment: contentHash(assessment),
          record,
          policy: assessment.documents.policy,
          verdict: assessment.verdict,
          remedies: assessment.remedy.chosen.map(({ remedy }) => remedy),
          customerTotalMinor: assessment.remedy.customerTotalMinor,
          currency: assessment.remedy.currency,
        },
      },
    ]);
    const change = {
      state: 'proposed',
      proposedAt: at,
      assessmentId,
      dueAt: due?.endsAt ?? null,
      dueClock: due?.title ?? null,
    } as const;
    await this.store.update(tx, row, change, at);
    await this.watch.refresh(tx, row, at);
  }

  private async askForFacts(tx: EntityManager, row: ClaimRow, faults: readonly Fault[], at: string): Promise<void> {
    const asked = step(await this.store.life(tx, row), 'ask');
    if (!asked.ok) return;
    const words = `The claim cannot be assessed yet: ${faults.map(({ detail }) => detail.replace(/\.$/, '')).join('; ')}.`;
    const question = {
      claimId: row.id,
      tenantId: row.tenantId,
      asked: words,
      ofParty: 'retailer',
      askedBy: SERVICE_STAMP.name,
      askedAt: at,
    } as const;
    await this.store.ask(tx, { ...question, answer: null, answeredBy: null, answeredAt: null });
    await this.store.append(tx, row, [
      { kind: asked.kind, at, actor: SERVICE_STAMP, body: { asked: words, of: 'retailer' } },
    ]);
    await this.store.update(tx, row, { state: asked.next }, at);
  }
}

/** The facts with the versions of the documents that were read, so that the same assessment can be made again when there are newer ones. */
function pinned(file: ClaimFile, { documents }: Assessment): ClaimFile {
  const ref = ({ id, version }: DocumentRef): string => `${id}/${version}`;
  const { checklist, evidenceModel, policy } = documents;
  return {
    ...file,
    documents: { checklist: ref(checklist), evidenceModel: ref(evidenceModel), policy: ref(policy) },
  };
}

/** The running clock that ends first. */
function nearest(clocks: readonly ClaimClock[]): ClaimClock | undefined {
  return clocks
    .filter(({ state, endsAt }) => state === 'running' && endsAt !== null)
    .sort((a, b) => (a.endsAt ?? '').localeCompare(b.endsAt ?? ''))[0];
}
