import { Injectable } from '@nestjs/common';
import type { EntityManager } from 'typeorm';
import { claimClocks, type Clock as ClaimClock } from '../adjudication/adjudication.contract.js';
import { ClaimRecordsService, type DecidedClaim } from '../claims/claim-records.service.js';
import { holidaysOf } from '../platform/calendar/holidays.js';
import { Refused } from '../platform/http/problems.js';
import { PoliciesService } from '../policies/policies.service.js';
import { factsWith } from './open-recoveries.service.js';
import { completenessOf, demandCheck, type Completeness } from './recovery.contract.js';
import type { RecoveryRow } from './store/recovery.store.js';

/** A demand as it is judged at one instant. */
export interface JudgedDemand {
  readonly claim: DecidedClaim;
  readonly completeness: Completeness;
  readonly clocks: readonly ClaimClock[];
}

/** What a recovery rests on: the decided claim, its clocks, and whether the demand is a complete claim. */
@Injectable()
export class RecoveryFacts {
  constructor(
    private readonly records: ClaimRecordsService,
    private readonly policies: PoliciesService,
  ) {}

  /** @throws Refused not-found when the transaction may not see the claim */
  demandVisible(tx: EntityManager, tenant: string, claimId: string): Promise<void> {
    return this.records.demandVisible(tx, tenant, claimId);
  }

  /** @param asOf RFC 3339 instant @throws Refused recovery-state-forbids */
  async judged(tx: EntityManager, row: RecoveryRow, asOf: string): Promise<JudgedDemand> {
    const claim = await this.claimOf(tx, row);
    const { all, filing } = await this.clocks(tx, row, claim, asOf);
    const completeness = completenessOf(demandCheck(claim.facts, row.demand, row.particulars, filing));
    return { claim, completeness, clocks: all };
  }

  /** The claim under the decision that a recovery rests on. @throws Refused recovery-state-forbids while another look is taken at it */
  async claimOf(tx: EntityManager, row: RecoveryRow): Promise<DecidedClaim> {
    const claim = await this.records.decided(tx, row.tenantId, row.claimId);
    if (claim !== undefined) return { ...claim, facts: factsWith(claim.facts, row.particulars) };
    throw new Refused(
      'recovery-state-forbids',
      'The claim was opened again and no decision stands; wait for the next one.',
    );
  }

  /** The claim's clocks with what happened to the recovery, as of an instant, and the clock of filing among them. */
  private async clocks(
    tx: EntityManager,
    row: RecoveryRow,
    claim: DecidedClaim,
    asOf: string,
  ): Promise<{ all: readonly ClaimClock[]; filing: ClaimClock | undefined }> {
    const { facts } = claim;
    const policy = await this.policies.byRef(tx, row.tenantId, facts.documents.policy);
    const rules = policy.document.clocks ?? [];
    const { clocks } = claimClocks(rules, {
      events: { ...facts.events, decided: claim.decision.decidedAt, ...carrierEvents(row) },
      asOf,
      zone: facts.zone,
      ground: facts.ground,
      receipt: facts.delivery.receipt,
      safety: false,
      isHoliday: holidaysOf(facts.jurisdiction),
      length: (name, on) => policy.parameter(name, on),
    });
    const filing = rules.find(({ stops }) => stops === 'carrier claim received')?.id;
    return { all: clocks, filing: clocks.find(({ id }) => id === filing) };
  }
}

/** What happened to a demand on a carrier, as the events that clocks know. */
function carrierEvents(row: RecoveryRow): Readonly<Record<string, string>> {
  if (row.party !== 'carrier' || row.sentAt === null) return {};
  return {
    'carrier claim received': row.sentAt,
    ...(row.acknowledgedAt === null ? {} : { 'carrier acknowledged': row.acknowledgedAt }),
    ...(row.answeredAt === null ? {} : { 'carrier disposed': row.answeredAt }),
    ...(row.state === 'declined' && row.answeredAt !== null ? { 'carrier disallowed': row.answeredAt } : {}),
  };
}
