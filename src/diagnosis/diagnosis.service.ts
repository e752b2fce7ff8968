import { Injectable } from '@nestjs/common';
import type { EntityManager } from 'typeorm';
import type { Actor } from '../access/access.contract.js';
import { observationsFrom, type Observations } from '../inspections/inspections.contract.js';
import { InspectionsService } from '../inspections/inspections.service.js';
import { localDate } from '../kernel/days.js';
import { Database } from '../platform/db/database.js';
import { BoundedCache } from '../platform/documents/bounded-cache.js';
import { scopeOf } from '../platform/http/caller.js';
import { PoliciesService } from '../policies/policies.service.js';
import {
  compileModel,
  findings,
  nextChecks,
  type CompiledModel,
  type EvidenceModel,
  type Finding,
  type FindingBar,
  type NextCheck,
} from './diagnosis.contract.js';
import { EvidenceModelsService } from './evidence-models.service.js';
import { findingBar } from './finding-bar.js';

/** A published evidence model, ready to run. */
export interface ReadyModel {
  /** uuid of the version */
  readonly id: string;
  readonly code: string;
  readonly version: number;
  readonly hash: string;
  readonly model: CompiledModel;
}

/** What an inspection's answers say so far. */
export interface InspectionFindings {
  /** `code/version` */
  readonly evidenceModel: string;
  readonly policy: string;
  readonly observations: Observations;
  readonly findings: readonly Finding[];
  /** Checks still worth the crew's time, best first. */
  readonly nextChecks: readonly NextCheck[];
}

const MOST_COMPILED = 64;
const MOST_CHECKS = 10;

/** What is broken, why, and what to look at next: evidence models run on what inspections saw. */
@Injectable()
export class DiagnosisService {
  private readonly compiled = new BoundedCache<CompiledModel>(MOST_COMPILED);

  constructor(
    private readonly db: Database,
    private readonly inspections: InspectionsService,
    private readonly policies: PoliciesService,
    private readonly models: EvidenceModelsService,
  ) {}

  /** The evidence model of a code that is in force today. @throws Refused `evidence-model-not-published` */
  async modelFor(tx: EntityManager, tenant: string, code: string): Promise<ReadyModel> {
    const row = await this.models.published(tx, tenant, code);
    // Checked when it was written, and never changed since it was published.
    const model = this.compiled.get(row.hash, () => compileModel(row.body as EvidenceModel));
    return { id: row.id, code: row.code, version: row.version, hash: row.hash, model };
  }

  /** A published evidence model as a document. @param ref `code/version`, or `code` for the one in force today */
  async model(tx: EntityManager, tenant: string, ref: string): Promise<EvidenceModel> {
    return (await this.models.published(tx, tenant, ref)).body as EvidenceModel;
  }

  /**
   * What a crew needs to work out its next check without a signal: the model of its unit, and when a check is worth the time.
   * @throws Refused `not-found`, `policy-missing`, `evidence-model-not-published`
   */
  async forUnit(
    actor: Actor,
    visitId: string,
    unitId: string,
  ): Promise<{ readonly model: EvidenceModel; readonly bar: FindingBar }> {
    return this.db.inTenant(scopeOf(actor), async (tx) => {
      const visit = await this.inspections.visitForClaim(tx, actor.tenant, visitId, unitId);
      const on = localDate(visit.deliveredAt ?? visit.windowFrom, visit.zone).toString();
      const { policy } = await this.policies.inForce(tx, actor.tenant, visit.jurisdiction, on);
      return { model: await this.model(tx, actor.tenant, visit.unit.evidenceModel), bar: findingBar(policy, on) };
    });
  }

  /**
   * What the answers of an inspection say so far, under the policy in force where and when the visit is.
   * @throws Refused `not-found`, `policy-missing`, `evidence-model-not-published`
   */
  async ofInspection(actor: Actor, inspectionId: string): Promise<InspectionFindings> {
    return this.db.inTenant(scopeOf(actor), async (tx) => {
      const located = await this.inspections.locate(tx, actor, inspectionId);
      const { answers } = await this.inspections.forClaim(tx, actor.tenant, inspectionId);
      const visit = await this.inspections.visitForClaim(tx, actor.tenant, located.visitId, located.unitId);
      const on = localDate(visit.deliveredAt ?? visit.windowFrom, visit.zone).toString();
      const inForce = await this.policies.inForce(tx, actor.tenant, visit.jurisdiction, on);
      const ready = await this.modelFor(tx, actor.tenant, visit.unit.evidenceModel);
      const observations = observationsFrom(located.checklist, answers, located.unit);
      const bar = findingBar(inForce.policy, on);
      return {
        evidenceModel: `${ready.code}/${ready.version}`,
        policy: `${inForce.code}/${inForce.version}`,
        observations,
        findings: findings(ready.model, observations, bar),
        nextChecks: nextChecks(ready.model, observations, bar, MOST_CHECKS),
      };
    });
  }
}
