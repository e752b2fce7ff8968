import { randomUUID } from 'node:crypto';
import { deflateRawSync } from 'node:zlib';
import { Injectable } from '@nestjs/common';
import type { EntityManager } from 'typeorm';
import { canonicalJson, contentHash, sha256Hex } from '../kernel/canonical-json.js';
import { Refused } from '../platform/http/problems.js';
import type { CompiledPolicy } from './policies.contract.js';
import { PoliciesService } from './policies.service.js';
import { DecisionRecordStore, type DecisionRecordRow } from './store/decision-record.store.js';
import { PolicyVersionStore } from './store/policy-version.store.js';

export type { DecisionRecordRow } from './store/decision-record.store.js';
export { traceText } from './trace-text.js';

/** A judgement that is to be kept. */
export interface NewDecisionRecord {
  readonly tenantId: string;
  readonly claimId: string;
  readonly assessmentId: string;
  readonly jurisdiction: string;
  readonly governedOn: string;
  /** `code/version` of the policy as it was read. */
  readonly policy: { readonly id: string; readonly version: number; readonly hash: string };
  readonly semantics: number;
  /** JSON values; kept as their canonical text. */
  readonly facts: unknown;
  readonly outcome: unknown;
  readonly trace: unknown;
  readonly actor: string;
  readonly madeAt: string;
}

/** A record with the policy that it was made under. */
export interface RecordUnderPolicy {
  readonly record: DecisionRecordRow;
  /** Undefined where the version is gone or its content is no longer what it was. */
  readonly policy: CompiledPolicy | undefined;
}

/** Records of judgements, kept so that each can be made again byte for byte. */
@Injectable()
export class DecisionRecordsService {
  constructor(
    private readonly store: DecisionRecordStore,
    private readonly versions: PolicyVersionStore,
    private readonly policies: PoliciesService,
  ) {}

  /** Keeps a judgement. @returns the record's hash */
  async keep(tx: EntityManager, made: NewDecisionRecord): Promise<string> {
    const { tenantId, claimId } = made;
    const { id: code, version, hash } = made.policy;
    const row = await this.versions.find(tx, { tenant: tenantId, code, version });
    if (row === null || row.hash !== hash)
      throw new Error(`a claim was judged by ${code}/${version}, which is not kept`);
    const [facts, outcome, trace] = [made.facts, made.outcome, made.trace].map(canonicalJson) as [
      string,
      string,
      string,
    ];
    const kept = {
      id: randomUUID(),
      tenantId,
      claimId,
      n: await this.store.nextNumber(tx, tenantId, claimId),
      assessmentId: made.assessmentId,
      jurisdiction: made.jurisdiction,
      governedOn: made.governedOn,
      policyVersionId: row.id,
      policyCode: code,
      policyVersion: version,
      policyHash: hash,
      policyJurisdiction: row.jurisdiction,
      semantics: made.semantics,
      facts,
      factsHash: sha256Hex(facts),
      outcome,
      outcomeHash: sha256Hex(outcome),
      trace: deflateRawSync(trace),
      traceHash: sha256Hex(trace),
      actor: made.actor,
      madeAt: Temporal.Instant.from(made.madeAt).toString(),
    };
    const record = { ...kept, hash: recordHash(kept) };
    await this.store.insert(tx, record);
    return record.hash;
  }

  /** The records of a claim, oldest first. */
  ofClaim(tx: EntityManager, tenant: string, claimId: string): Promise<DecisionRecordRow[]> {
    return this.store.ofClaim(tx, tenant, claimId);
  }

  /** One record. @throws Refused `not-found` */
  async find(tx: EntityManager, tenant: string, id: string): Promise<DecisionRecordRow> {
    const record = await this.store.find(tx, tenant, id);
    if (record === null) throw new Refused('not-found', 'There is no record of a decision with this id.');
    return record;
  }

  /** A record with the policy that it was made under. */
  async underPolicy(tx: EntityManager, record: DecisionRecordRow): Promise<RecordUnderPolicy> {
    const row = await this.versions.byId(tx, record.tenantId, record.policyVersionId);
    const same = row !== null && row.hash === record.policyHash && contentHash(row.body) === record.policyHash;
    return { record, policy: same ? this.policies.compile(row) : undefined };
  }
}

/** SHA-256 over everything that a record says; long texts count by their hashes. */
export function recordHash(record: Omit<DecisionRecordRow, 'hash'> & { readonly hash?: string }): string {
  const { facts: _facts, outcome: _outcome, trace: _trace, hash: _hash, madeAt, ...said } = record;
  return contentHash({ ...said, madeAt: Temporal.Instant.from(madeAt).epochMilliseconds });
}
