import { Injectable } from '@nestjs/common';
import type { EntityManager } from 'typeorm';
import type { Actor } from '../access/access.contract.js';
import { Clock } from '../platform/clock.js';
import { Database } from '../platform/db/database.js';
import type { VersionAddress } from '../platform/documents/document-lifecycle.js';
import { scopeOf } from '../platform/http/caller.js';
import { Refused } from '../platform/http/problems.js';
import { examineDocument, type Examination } from './examine-policy.js';
import { toRehearsalView } from './http/rehearsal.mapper.js';
import type { PolicyDifference, PolicyEvidence } from './http/policy-evidence.dto.js';
import type { PolicyCheck } from './http/policy-life.dto.js';
import { PolicyEvidenceService } from './policy-evidence.service.js';
import { DecisionRecordStore } from './store/decision-record.store.js';
import type { PolicyVersionRow } from './store/policy-version.entity.js';
import { PolicyVersionStore } from './store/policy-version.store.js';
import { RehearsalStore } from './store/rehearsal.store.js';

/** What can be said of documents and versions before anybody relies on them. */
@Injectable()
export class PolicyChecksService {
  constructor(
    private readonly db: Database,
    private readonly clock: Clock,
    private readonly versions: PolicyVersionStore,
    private readonly evidenceOf: PolicyEvidenceService,
    private readonly records: DecisionRecordStore,
    private readonly rehearsals: RehearsalStore,
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
      const rehearsal = await this.rehearsals.finishedOf(tx, row.tenantId, row.id, row.hash);
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

  private async checkOf(_tx: EntityManager, _tenant: string, document: object): Promise<PolicyCheck> {
    return toCheck(examineDocument(document));
  }

  private async differenceOf(
    _tx: EntityManager,
    row: PolicyVersionRow,
    other: PolicyVersionRow | null,
  ): Promise<PolicyDifference> {
    const becomes = { version: row.version, hash: row.hash };
    if (other === null) return { becomes, same: false };
    return { was: { version: other.version, hash: other.hash }, becomes, same: other.hash === row.hash };
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

function toCheck({ policy, faults, examples, findings }: Examination): PolicyCheck {
  const sound =
    faults.length === 0 &&
    examples.every(({ passed }) => passed) &&
    findings.every(({ severity }) => severity !== 'error');
  return { sound, ...(policy === undefined ? {} : { hash: policy.hash }), faults, examples };
}
