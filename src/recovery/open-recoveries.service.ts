import { randomUUID } from 'node:crypto';
import { Injectable } from '@nestjs/common';
import type { EntityManager } from 'typeorm';
import { serviceActor } from '../access/access.contract.js';
import { recoveryPlan, type ClaimFile, type RecoveryPlan } from '../adjudication/adjudication.contract.js';
import { CatalogueService } from '../catalogue/catalogue.service.js';
import { ClaimRecordsService, type DecidedClaim } from '../claims/claim-records.service.js';
import { decidedCost } from '../claims/claims.contract.js';
import { holidaysOf } from '../platform/calendar/holidays.js';
import { Database } from '../platform/db/database.js';
import { PoliciesService } from '../policies/policies.service.js';
import { demandChanged } from './domain/recovery-life.js';
import { RecoveryHands } from './recovery-hands.js';
import { partyNameOf, type LiableParty, type Particulars, type RecoveryDemand } from './recovery.contract.js';
import { RecoveryStore, type RecoveryRow } from './store/recovery.store.js';

/** Opens recoveries once a decision stands, and changes them when another one does. Running it twice does the same as once. */
@Injectable()
export class OpenRecoveriesService {
  constructor(
    private readonly db: Database,
    private readonly store: RecoveryStore,
    private readonly hands: RecoveryHands,
    private readonly records: ClaimRecordsService,
    private readonly catalogue: CatalogueService,
    private readonly policies: PoliciesService,
  ) {}

  /** Brings the recoveries of a claim in line with the decision that stands; does nothing while none does. */
  async open(tenant: string, claimId: string): Promise<void> {
    await this.db.inTenant({ tenant }, async (tx) => {
      const claim = await this.records.decided(tx, tenant, claimId);
      if (claim === undefined) return;
      const known = await this.store.ofClaim(tx, tenant, claimId, true);
      const parties = new Set<LiableParty>(known.map(({ party }) => party));
      const fresh = await this.plan(tx, tenant, claim, {});
      for (const { party } of fresh.demands) parties.add(party as LiableParty);
      for (const party of [...parties].sort()) {
        const row = known.find((candidate) => candidate.party === party);
        const plan = row === undefined ? fresh : await this.plan(tx, tenant, claim, row.particulars);
        const demand = plan.demands.find((candidate) => candidate.party === party);
        if (row !== undefined) await this.change(tx, row, claim, { demand, plan });
        else if (demand !== undefined && demand.totalMinor > 0) await this.add(tx, tenant, claim, { demand, plan });
      }
    });
  }

  /** Who can be made to pay what under the decision, with what a person added about the carriage. */
  async plan(tx: EntityManager, tenant: string, claim: DecidedClaim, particulars: Particulars): Promise<RecoveryPlan> {
    const facts = factsWith(claim.facts, particulars);
    const model = await this.catalogue.modelBySku(tx, tenant, facts.unit.sku);
    const policy = await this.policies.byRef(tx, tenant, facts.documents.policy);
    const cost = decidedCost(claim.assessment, claim.decision);
    const documents = { model, policy, isHoliday: holidaysOf(facts.jurisdiction) };
    return recoveryPlan(facts, documents, cost.responsibility, cost.costLines);
  }

  /** Opens a recovery on a party on which what another's limit cut off falls. @param beside a recovery of the same claim */
  async openFor(tx: EntityManager, beside: RecoveryRow, demand: RecoveryDemand): Promise<void> {
    const claim = await this.records.decided(tx, beside.tenantId, beside.claimId);
    if (claim === undefined) return;
    const plan = { currency: beside.currency, demands: [demand], customerShareMinor: 0, unassignedMinor: 0, needs: [] };
    await this.add(tx, beside.tenantId, claim, { demand, plan });
  }

  private async add(tx: EntityManager, tenant: string, claim: DecidedClaim, made: Made): Promise<void> {
    const { demand, plan } = made;
    const at = this.hands.now();
    const party = demand?.party as LiableParty;
    const id = randomUUID();
    const recovery = {
      id,
      tenantId: tenant,
      claimId: claim.id,
      decisionId: claim.decision.id,
      party,
      partyName: partyNameOf(party, claim.facts.parties),
      state: 'open',
      currency: plan.currency,
      demand: demand ?? NOTHING,
      needs: plan.needs,
      particulars: {},
      demandedMinor: demand?.totalMinor ?? 0,
      bookedMinor: 0,
      offeredMinor: null,
      paidMinor: 0,
      salvageMinor: 0,
      writtenOffMinor: 0,
      theirReference: null,
      sentAt: null,
      acknowledgedAt: null,
      answeredAt: null,
    } as const;
    await this.store.insert(tx, recovery, at);
    const body = { decision: claim.decision.id, demandedMinor: recovery.demandedMinor, currency: plan.currency };
    await this.store.append(tx, recovery, { kind: 'recovery-opened', at, actor: SERVICE, body });
  }

  private async change(tx: EntityManager, row: RecoveryRow, claim: DecidedClaim, made: Made): Promise<void> {
    if (row.decisionId === claim.decision.id) return;
    const at = this.hands.now();
    const demandedMinor = made.demand?.totalMinor ?? 0;
    const { state } = demandChanged(row, demandedMinor);
    const body = { decision: claim.decision.id, before: row.demandedMinor, demandedMinor, currency: row.currency };
    const kind = state === 'withdrawn' ? 'recovery-withdrawn' : 'demand-changed';
    await this.store.append(tx, row, { kind, at, actor: SERVICE, body });
    const change = {
      decisionId: claim.decision.id,
      demand: made.demand ?? { ...NOTHING, party: row.party },
      needs: made.plan.needs,
      demandedMinor,
      state,
    };
    await this.store.update(tx, row, change, at);
  }
}

interface Made {
  readonly demand: RecoveryDemand | undefined;
  readonly plan: RecoveryPlan;
}

const SERVICE = {
  kind: 'service',
  id: serviceActor('', 'open-recoveries').id,
  name: serviceActor('', '').name,
} as const;

const NOTHING: RecoveryDemand = {
  party: 'carrier',
  lines: [],
  lossMinor: 0,
  salvageMinor: 0,
  cap: {
    basis: 'none',
    limitMinor: null,
    sdr: null,
    working: 'no limit applied',
    fallsOn: null,
    rule: null,
    because: 'Nothing falls to this party under the decision that stands.',
    source: null,
  },
  cutMinor: 0,
  totalMinor: 0,
};

/** The claim file with what a person added about the carriage. */
export function factsWith(facts: ClaimFile, { transport }: Particulars): ClaimFile {
  return transport === undefined ? facts : { ...facts, transport };
}
