import { Injectable } from '@nestjs/common';
import type { EntityManager } from 'typeorm';
import type { ClaimState } from '../../kernel/vocabulary.js';
import type { DecisionOutcome } from '../claims.contract.js';

/** What the sentences about a claim's standing are made of. */
export interface StandingFacts {
  readonly state: ClaimState;
  /** RFC 3339 instant by which the next step is promised, or null where nothing is. */
  readonly promisedAt: string | null;
  /** Outcome of the decision that stands. */
  readonly outcome: DecisionOutcome | null;
  /** The newest question that waits for an answer. */
  readonly question: string | null;
}

const SELECT = `select c.state, c.promised_at as "promisedAt", d.outcome, q.asked as question
  from claim c
  left join claim_decision d on d.tenant_id = c.tenant_id and d.claim_id = c.id and d.state = 'standing'
  left join lateral (
    select i.asked from information_request i
    where i.tenant_id = c.tenant_id and i.claim_id = c.id and i.answered_at is null
    order by i.asked_at desc limit 1) q on true
  where c.tenant_id = $1 and c.id = $2`;

/** Where a claim stands, in one statement: it is what retailers ask most often. */
@Injectable()
export class ClaimStandingReadModel {
  /** Undefined when the claim is missing or not visible. */
  async of(tx: EntityManager, tenant: string, id: string): Promise<StandingFacts | undefined> {
    const rows = await tx.query<(Omit<StandingFacts, 'promisedAt'> & { readonly promisedAt: Date | null })[]>(SELECT, [
      tenant,
      id,
    ]);
    return rows.map((row) => ({ ...row, promisedAt: row.promisedAt?.toISOString() ?? null }))[0];
  }
}
