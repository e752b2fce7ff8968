import { Injectable } from '@nestjs/common';
import type { EntityManager } from 'typeorm';
import type { Assessment, ClaimFile } from '../adjudication/adjudication.contract.js';
import type { Remedy } from '../kernel/vocabulary.js';
import type { ClaimEvent } from './claims.contract.js';
import { ClaimStore } from './store/claim.store.js';

/** A claim under the decision that stands, with the facts and the assessment that the decision rests on. */
export interface DecidedClaim {
  readonly id: string;
  readonly number: string | null;
  readonly currency: string;
  readonly inspectionId: string | null;
  readonly decision: {
    readonly id: string;
    readonly n: number;
    readonly outcome: string;
    readonly remedies: readonly Remedy[];
    readonly totalMinor: number;
    readonly overrides: boolean;
    readonly decidedAt: string;
  };
  readonly facts: ClaimFile;
  readonly assessment: Assessment;
}

/** What modules that act on decided claims read of them. */
@Injectable()
export class ClaimRecordsService {
  constructor(private readonly store: ClaimStore) {}

  /**
   * The claim with the decision that stands; undefined where none does, also while a reopened claim waits for another.
   * @throws Refused not-found when the transaction may not see the claim
   */
  async decided(tx: EntityManager, tenant: string, claimId: string): Promise<DecidedClaim | undefined> {
    const row = await this.store.find(tx, tenant, claimId);
    if (row.decisionId === null || !DECIDED.includes(row.state)) return undefined;
    const decision = (await this.store.decisions(tx, tenant, claimId)).find(({ id }) => id === row.decisionId);
    if (decision?.state !== 'standing') return undefined;
    const stored = await this.store.assessment(tx, tenant, decision.assessmentId);
    if (!stored) throw new Error('a decision rests on an assessment that is gone');
    const { id, n, outcome, totalMinor, decidedAt, body } = decision;
    const { remedies, overrides } = body;
    return {
      id: row.id,
      number: row.number,
      currency: row.currency,
      inspectionId: row.inspectionId,
      decision: { id, n, outcome, remedies, totalMinor, overrides, decidedAt },
      facts: stored.facts as ClaimFile,
      assessment: stored.assessment as Assessment,
    };
  }

  /** Whether the transaction may see the claim. @throws Refused not-found when not */
  async demandVisible(tx: EntityManager, tenant: string, claimId: string): Promise<void> {
    await this.store.find(tx, tenant, claimId);
  }

  /** The claim's events, oldest first. */
  events(tx: EntityManager, tenant: string, claimId: string): Promise<ClaimEvent[]> {
    return this.store.events(tx, tenant, claimId);
  }
}

const DECIDED: readonly string[] = ['decided', 'settling', 'settled', 'closed'];
