import { Injectable } from '@nestjs/common';
import type { EntityManager } from 'typeorm';
import type { Actor } from '../access/access.contract.js';
import { HolidaysService } from '../adjudication/holidays.service.js';
import { judgeFrozen, traceOfFrozen, type CaseTrace, type FrozenCase } from '../adjudication/records.contract.js';
import { Database } from '../platform/db/database.js';
import { scopeOf } from '../platform/http/caller.js';
import { DecisionRecordsService, traceText, type DecisionRecordRow } from '../policies/decision-records.service.js';
import type { RehearsalChange } from '../policies/rehearsals.contract.js';
import { RehearsalsService } from '../policies/rehearsals.service.js';
import { whyRecord, type RecordedQuestion } from './domain/why-record.js';
import { rehearsedPolicy } from './rehearsal/rehearsed-policy.js';

/** How a policy came to it for one claim. */
export interface Way {
  /** Version of the policy. */
  readonly version: number;
  readonly parameters: CaseTrace['parameters'];
  readonly questions: readonly RecordedQuestion[];
}

/** A claim that comes out otherwise, with the way to both outcomes. */
export interface RehearsedClaim {
  readonly change: RehearsalChange;
  /** Undefined where the version that judged the claim is gone. */
  readonly was: Way | undefined;
  /** Undefined where the rehearsed version cannot be applied to the claim. */
  readonly becomes: Way | undefined;
}

/** What a rehearsal says of one claim, rule by rule. */
@Injectable()
export class RehearsedClaimsService {
  constructor(
    private readonly db: Database,
    private readonly rehearsals: RehearsalsService,
    private readonly records: DecisionRecordsService,
    private readonly holidays: HolidaysService,
  ) {}

  /** One changed claim with both traces. @param of uuids @throws Refused `not-found` */
  read(actor: Actor, of: { readonly rehearsal: string; readonly record: string }): Promise<RehearsedClaim> {
    return this.db.inTenant(scopeOf(actor), async (tx) => {
      const { change, document, against, row } = await this.rehearsals.changed(tx, actor, of);
      const record = await this.records.find(tx, actor.tenant, of.record);
      const frozen = JSON.parse(record.facts) as FrozenCase;
      const beyond = await this.holidays.lookup(tx, actor.tenant, frozen.claim.jurisdiction);
      const by = { beyond, ...(row.wish.on === undefined ? {} : { on: row.wish.on }) };
      const judged = (body: object, version: number): Way | undefined => {
        const { policy } = rehearsedPolicy(body);
        const judgement = judgeFrozen(frozen, policy, by);
        return judgement.ok ? wayOf(traceOfFrozen(judgement), policy.document, version) : undefined;
      };
      const compared = against === null ? undefined : judged(against, row.wish.against ?? row.version);
      return {
        change,
        // A version that cannot be applied leaves what was said at the time, as the rehearsal itself has it.
        was: compared ?? (await this.atTheTime(tx, record)),
        becomes: judged(document, row.version),
      };
    });
  }

  private async atTheTime(tx: EntityManager, record: DecisionRecordRow): Promise<Way | undefined> {
    const { policy } = await this.records.underPolicy(tx, record);
    if (policy === undefined) return undefined;
    return wayOf(JSON.parse(traceText(record.trace)) as CaseTrace, policy.document, record.policyVersion);
  }
}

function wayOf(trace: CaseTrace, document: Parameters<typeof whyRecord>[1], version: number): Way {
  return { version, parameters: trace.parameters, questions: whyRecord(trace, document) };
}
