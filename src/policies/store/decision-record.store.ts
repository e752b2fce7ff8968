import { Injectable } from '@nestjs/common';
import type { EntityManager } from 'typeorm';
import { inPlace, NEWEST, RECORD_COLUMNS } from '../records.contract.js';

/** A record of one judgement as it is kept. Facts and outcome are canonical JSON (RFC 8785); the trace is the same, deflated (RFC 1951). */
export interface DecisionRecordRow {
  readonly id: string;
  readonly tenantId: string;
  readonly claimId: string;
  /** Counts the judgements of one claim from 1. */
  readonly n: number;
  readonly assessmentId: string;
  /** Country, optionally with subdivision, of the claim. */
  readonly jurisdiction: string;
  readonly governedOn: string;
  readonly policyVersionId: string;
  readonly policyCode: string;
  readonly policyVersion: number;
  readonly policyHash: string;
  readonly policyJurisdiction: string;
  readonly semantics: number;
  readonly facts: string;
  readonly factsHash: string;
  readonly outcome: string;
  readonly outcomeHash: string;
  readonly trace: Uint8Array;
  readonly traceHash: string;
  readonly actor: string;
  readonly madeAt: string;
  /** SHA-256 of all of the above but the texts themselves, which count by their hashes. */
  readonly hash: string;
}

/** Where a page of records begins: behind this one. */
export interface RecordPosition {
  readonly madeAt: string;
  readonly id: string;
}

type Stored = Omit<DecisionRecordRow, 'madeAt'> & { readonly madeAt: Date };

/** Records of judgements: added, read, never changed. */
@Injectable()
export class DecisionRecordStore {
  /** The number of a claim's next record. The claim's row is held by the caller. */
  async nextNumber(tx: EntityManager, tenant: string, claimId: string): Promise<number> {
    const rows = await tx.query<{ n: number }[]>(
      'select coalesce(max(n), 0) + 1 n from decision_record where tenant_id = $1 and claim_id = $2',
      [tenant, claimId],
    );
    return rows[0]?.n ?? 1;
  }

  async insert(tx: EntityManager, row: DecisionRecordRow): Promise<void> {
    await tx.query(
      `insert into decision_record (id, tenant_id, claim_id, n, assessment_id, jurisdiction, governed_on, policy_version_id,
         policy_code, policy_version, policy_hash, policy_jurisdiction, semantics, facts, facts_hash, outcome, outcome_hash,
         trace, trace_hash, actor, made_at, hash)
       values ($1, $2, $3, $4, $5, $6, $7, $8, $9, $10, $11, $12, $13, $14, $15, $16, $17, $18, $19, $20, $21, $22)`,
      [
        row.id,
        row.tenantId,
        row.claimId,
        row.n,
        row.assessmentId,
        row.jurisdiction,
        row.governedOn,
        row.policyVersionId,
        row.policyCode,
        row.policyVersion,
        row.policyHash,
        row.policyJurisdiction,
        row.semantics,
        row.facts,
        row.factsHash,
        row.outcome,
        row.outcomeHash,
        Buffer.from(row.trace),
        row.traceHash,
        row.actor,
        row.madeAt,
        row.hash,
      ],
    );
  }

  /** One record; null where it is missing or not visible. */
  async find(tx: EntityManager, tenant: string, id: string): Promise<DecisionRecordRow | null> {
    const rows = await tx.query<Stored[]>(
      `select ${RECORD_COLUMNS} from decision_record where tenant_id = $1 and id = $2`,
      [tenant, id],
    );
    return rows[0] === undefined ? null : toRow(rows[0]);
  }

  /** The records of a claim, oldest first. */
  async ofClaim(tx: EntityManager, tenant: string, claimId: string): Promise<DecisionRecordRow[]> {
    const rows = await tx.query<Stored[]>(
      `select ${RECORD_COLUMNS} from decision_record where tenant_id = $1 and claim_id = $2 order by n`,
      [tenant, claimId],
    );
    return rows.map(toRow);
  }

  /** Whether any claim was judged that a policy of this place would govern. */
  async anyFor(tx: EntityManager, tenant: string, jurisdiction: string): Promise<boolean> {
    const rows = await tx.query<{ any: boolean }[]>(
      `select exists (select 1 from decision_record r where r.tenant_id = $1 and ${inPlace('$2')}) "any"`,
      [tenant, jurisdiction],
    );
    return rows[0]?.any === true;
  }

  /**
   * The newest record of each claim that a policy of this place would govern, newest first.
   * @param since RFC 3339 instant; older records do not count
   */
  async recent(
    tx: EntityManager,
    tenant: string,
    of: { readonly jurisdiction: string; readonly since: string; readonly most: number },
  ): Promise<Pick<DecisionRecordRow, 'claimId' | 'facts' | 'trace'>[]> {
    return tx.query(
      `select r.claim_id "claimId", r.facts, r.trace from decision_record r
       where r.tenant_id = $1 and r.made_at >= $3 and ${inPlace('$2')} and ${NEWEST}
       order by r.made_at desc, r.id desc limit $4`,
      [tenant, of.jurisdiction, of.since, of.most],
    );
  }
}

function toRow(stored: Stored): DecisionRecordRow {
  return { ...stored, madeAt: stored.madeAt.toISOString() };
}
