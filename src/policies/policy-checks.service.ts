import { Injectable } from '@nestjs/common';
import type { EntityManager } from 'typeorm';
import type { Actor } from '../access/access.contract.js';
import { Clock } from '../platform/clock.js';
import { Database } from '../platform/db/database.js';
import type { VersionAddress } from '../platform/documents/document-lifecycle.js';
import { scopeOf } from '../platform/http/caller.js';
import { Refused } from '../platform/http/problems.js';
import { changeTest, comparePolicies, regionTest } from './analysis.contract.js';
import { examineDocument } from './examine-policy.js';
import { toRehearsalView } from './http/rehearsal.mapper.js';
import type { PolicyDifference, PolicyEvidence } from './http/policy-evidence.dto.js';
import type { PolicyCheck } from './http/policy-life.dto.js';
import { PoliciesService } from './policies.service.js';
import { PolicyEvidenceService } from './policy-evidence.service.js';
import { claimsInRegions, recordedCases, type RecordedCase } from './recorded-cases.js';
import { DecisionRecordStore } from './store/decision-record.store.js';
import type { PolicyVersionRow } from './store/policy-version.entity.js';
import { PolicyVersionStore } from './store/policy-version.store.js';

/** Claims that findings and changes are counted over; a rehearsal counts all of them. */
const MOST_LOOKED_AT = 1_000;

interface RecentClaims {
  readonly looked: { readonly since: string; readonly lookedAt: number; readonly all: boolean };
  readonly cases: readonly (readonly RecordedCase[])[];
}

/** What can be said of documents and versions before anybody relies on them. */
@Injectable()
export class PolicyChecksService {
  constructor(
    private readonly db: Database,
    private readonly clock: Clock,
    private readonly versions: PolicyVersionStore,
    private readonly policies: PoliciesService,
    private readonly evidenceOf: PolicyEvidenceService,
    private readonly records: DecisionRecordStore,
  ) {}

  /** Looks at a document without keeping it. */
  async look(actor: Actor, document: object): Promise<PolicyCheck> {
    return this.db.inTenant(scopeOf(actor), (tx) => this.checkOf(tx, actor.tenant, document));
  }

  /** Looks at a version. @throws Refused `not-found` */
  async check(actor: Actor, address: VersionAddress): Promise<PolicyCheck> {
    return this.db.inTenant(scopeOf(actor), async (tx) => {
      const row = await this.demand(tx, actor, address);
      return this.checkOf(tx, actor.tenant, row.body);
    });
  }

  /** Where a version decides otherwise than another. @param against absent: the one in force @throws Refused `not-found` */
  async difference(actor: Actor, address: VersionAddress, against?: number): Promise<PolicyDifference> {
    return this.db.inTenant(scopeOf(actor), async (tx) => {
      const row = await this.demand(tx, actor, address);
      const other =
        against === undefined
          ? await this.inForce(tx, row)
          : await this.demand(tx, actor, { ...address, version: against });
      return this.differenceOf(tx, row, other);
    });
  }

  /** Everything that an approver has to see, about the content as it is now. @throws Refused `not-found` */
  async evidence(actor: Actor, address: VersionAddress): Promise<PolicyEvidence> {
    return this.db.inTenant(scopeOf(actor), async (tx) => {
      const row = await this.demand(tx, actor, address);
      const rehearsal = await this.evidenceOf.rehearsalOf(tx, row);
      const pastClaims = await this.records.anyFor(tx, row.tenantId, row.jurisdiction);
      const against = this.evidenceOf.against(row.body).map(({ detail }) => detail);
      if (rehearsal === null && pastClaims) against.push('It has not been rehearsed on past claims.');
      return {
        hash: row.hash,
        check: await this.checkOf(tx, actor.tenant, row.body),
        difference: await this.differenceOf(tx, row, await this.inForce(tx, row)),
        pastClaims,
        ...(rehearsal === null ? {} : { rehearsal: toRehearsalView(rehearsal) }),
        against,
      };
    });
  }

  private async checkOf(tx: EntityManager, tenant: string, document: object): Promise<PolicyCheck> {
    const examination = examineDocument(document);
    const { policy, analysis, faults, examples, coverage } = examination;
    if (policy === undefined || analysis === undefined) return { sound: false, faults, examples };
    const { findings } = analysis;
    const claims = await this.recent(tx, tenant, policy.document.jurisdiction);
    const counts = claimsInRegions(
      claims.cases,
      findings.map((finding) => ({ decision: finding.decision ?? '', isInside: regionTest(policy, finding) })),
    );
    const counted = findings.map((finding, place) =>
      finding.region === undefined ? finding : { ...finding, recentClaims: counts[place] ?? 0 },
    );
    const errors = findings.some(({ severity }) => severity === 'error');
    return {
      sound: !errors && examples.every(({ passed }) => passed),
      hash: policy.hash,
      faults,
      examples,
      analysis: { ...analysis, findings: counted, claims: claims.looked },
      ...(coverage === undefined ? {} : { coverage }),
    };
  }

  private async differenceOf(
    tx: EntityManager,
    row: PolicyVersionRow,
    other: PolicyVersionRow | null,
  ): Promise<PolicyDifference> {
    const becomes = { version: row.version, hash: row.hash };
    if (other === null) return { becomes, same: false };
    const was = { version: other.version, hash: other.hash };
    const [before, after] = [this.policies.compile(other), this.policies.compile(row)];
    const { changes, ...rest } = comparePolicies(before, after);
    const claims = await this.recent(tx, row.tenantId, row.jurisdiction);
    const counts = claimsInRegions(
      claims.cases,
      changes.map((change) => ({ decision: change.decision, isInside: changeTest(before, after, change) })),
    );
    const counted = changes
      .map((change, place) => ({ ...change, recentClaims: counts[place] ?? 0 }))
      .sort((a, b) => b.recentClaims - a.recentClaims);
    const same = changes.length === 0 && rest.sentences.length === 0;
    return { was, becomes, same, difference: { ...rest, changes: counted, claims: claims.looked } };
  }

  /** Cases of the newest claims of the last 12 months, and which those are. */
  private async recent(tx: EntityManager, tenant: string, jurisdiction: string): Promise<RecentClaims> {
    const now = this.clock.now().toZonedDateTimeISO('UTC');
    const since = now.subtract({ months: 12 }).toInstant().toString();
    const records = await this.records.recent(tx, tenant, { jurisdiction, since, most: MOST_LOOKED_AT });
    const looked = { since, lookedAt: records.length, all: records.length < MOST_LOOKED_AT };
    return { looked, cases: records.map(recordedCases) };
  }

  private async inForce(tx: EntityManager, row: PolicyVersionRow): Promise<PolicyVersionRow | null> {
    const zone = (row.body as { readonly zone?: string }).zone ?? 'UTC';
    const today = this.clock.now().toZonedDateTimeISO(zone).toPlainDate().toString();
    return this.versions.ofCodeInForce(tx, row.tenantId, row.code, today);
  }

  private async demand(tx: EntityManager, actor: Actor, address: VersionAddress): Promise<PolicyVersionRow> {
    const row = await this.versions.find(tx, { ...address, tenant: actor.tenant });
    if (row === null) throw new Refused('not-found', `There is no version ${address.version} of that policy.`);
    return row;
  }
}
