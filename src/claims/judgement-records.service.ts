import { Injectable } from '@nestjs/common';
import type { EntityManager } from 'typeorm';
import type { ClaimFile } from '../adjudication/adjudication.contract.js';
import { AdjudicationService } from '../adjudication/adjudication.service.js';
import {
  caseOutcome,
  caseTrace,
  judgeFrozen,
  JUDGEMENT_SEMANTICS,
  traceOfFrozen,
  type FrozenCase,
  type TracedAssessment,
} from '../adjudication/records.contract.js';
import { canonicalJson, sha256Hex } from '../kernel/canonical-json.js';
import type { Outcome } from '../kernel/outcome.js';
import {
  DecisionRecordsService,
  recordHash,
  traceText,
  type DecisionRecordRow,
  type RecordUnderPolicy,
} from '../policies/decision-records.service.js';
import { SERVICE_STAMP } from './domain/stamp-of.js';
import type { ClaimRow } from './store/claim.entity.js';

/** How a record compares with what its facts and its policy come to now. */
export interface Replay {
  /** uuid */
  readonly record: string;
  /** uuid */
  readonly claim: string;
  /** What is not as it was written, in sentences; empty where all of it is the same, byte for byte. */
  readonly differences: readonly string[];
}

/** Records of the judgements of claims: kept when they are made, and made again to see that nothing has changed. */
@Injectable()
export class JudgementRecordsService {
  constructor(
    private readonly records: DecisionRecordsService,
    private readonly adjudication: AdjudicationService,
  ) {}

  /** What the service proposes for a claim, with what has to be kept of how it came about; or what is wrong with its facts. */
  judge(tx: EntityManager, tenant: string, file: ClaimFile): Promise<Outcome<TracedAssessment>> {
    return this.adjudication.assess(tx, tenant, file);
  }

  /** Keeps the judgement behind an assessment. @returns the record's hash, for the claim's chain of events */
  async keep(
    tx: EntityManager,
    row: ClaimRow,
    made: { readonly traced: TracedAssessment; readonly assessmentId: string; readonly at: string },
  ): Promise<string> {
    const { assessment, judgement, run, frozen } = made.traced;
    const facts = frozen();
    const { jurisdiction } = facts.claim;
    return this.records.keep(tx, {
      tenantId: row.tenantId,
      claimId: row.id,
      assessmentId: made.assessmentId,
      jurisdiction,
      governedOn: facts.on,
      policy: assessment.documents.policy,
      semantics: JUDGEMENT_SEMANTICS,
      facts,
      outcome: caseOutcome(judgement, run, { jurisdiction, outside: facts.outside }),
      trace: caseTrace(judgement, run),
      actor: SERVICE_STAMP.name,
      madeAt: made.at,
    });
  }

  /** Makes a record's judgement again, and looks whether the claim's chain of events names it. */
  async replay(tx: EntityManager, record: DecisionRecordRow): Promise<Replay> {
    const rows = await tx.query<{ hash: string }[]>(
      `select body ->> 'record' hash from claim_event where tenant_id = $1 and claim_id = $2 and kind = 'claim-proposed'`,
      [record.tenantId, record.claimId],
    );
    return replayed(await this.records.underPolicy(tx, record), new Set(rows.map(({ hash }) => hash)));
  }
}

/**
 * Compares a record with what its facts come to under its policy. Pure.
 * @param noted hashes of records that the claim's chain of events names
 */
export function replayed({ record, policy }: RecordUnderPolicy, noted: ReadonlySet<string>): Replay {
  const of = { record: record.id, claim: record.claimId };
  const differences = [...alteredParts(record)];
  if (!noted.has(record.hash)) differences.push('The events of the claim do not name this record.');
  if (policy === undefined) {
    return { ...of, differences: [...differences, 'The policy is no longer what it was when the claim was judged.'] };
  }
  if (record.semantics !== JUDGEMENT_SEMANTICS) {
    differences.push(
      `It was judged by meaning ${record.semantics} of the rules, and this program has meaning ${JUDGEMENT_SEMANTICS}.`,
    );
  }
  const again = judgeFrozen(JSON.parse(record.facts) as FrozenCase, policy);
  if (!again.ok) return { ...of, differences: [...differences, again.problem] };
  if (canonicalJson(again.outcome) !== record.outcome) differences.push('The facts come to another outcome.');
  if (canonicalJson(traceOfFrozen(again)) !== safeTrace(record)) differences.push('The way to the outcome is another.');
  return { ...of, differences };
}

function alteredParts(record: DecisionRecordRow): string[] {
  const { facts, factsHash, outcome, outcomeHash, traceHash, hash } = record;
  return [
    ...(sha256Hex(facts) === factsHash ? [] : ['The facts were altered after they were kept.']),
    ...(sha256Hex(outcome) === outcomeHash ? [] : ['The outcome was altered after it was kept.']),
    ...(sha256Hex(safeTrace(record) ?? '') === traceHash ? [] : ['The trace was altered after it was kept.']),
    ...(recordHash(record) === hash ? [] : ['The record was altered after it was kept.']),
  ];
}

/** The trace, or undefined where it cannot be read any more. */
function safeTrace({ trace }: DecisionRecordRow): string | undefined {
  try {
    return traceText(trace);
  } catch {
    return undefined;
  }
}
