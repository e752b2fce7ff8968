import { Injectable } from '@nestjs/common';
import type { EntityManager } from 'typeorm';
import type { Actor } from '../access/access.contract.js';
import type { Lesson } from '../diagnosis/learning.contract.js';
import { Database } from '../platform/db/database.js';
import { scopeOf } from '../platform/http/caller.js';
import { lessonOf, type DecidedFindings } from './domain/lesson-of.js';

/** Which decisions are read: local dates at the place of delivery, both included. */
export interface LessonSpan {
  readonly from?: string | undefined;
  readonly until?: string | undefined;
}

/** Decisions read at a time: enough to be quick, few enough to keep memory flat. */
const AT_ONCE = 500;

/** Only what a lesson needs leaves the database; the rest of an assessment is many times as large. */
const PAGE = `select d.id, coalesce(c.number, c.id::text) as claim, a.assessment #>> '{documents,evidenceModel,id}' as model,
    ((d.decided_at at time zone v.zone)::date)::text as "decidedOn", d.reason_code as reason, d.body -> 'explanations' as named,
    jsonb_path_query_array(a.assessment, '$.findings[*].subject') as subjects,
    jsonb_path_query_array(a.assessment, '$.findings[*].explanations[0].id') as leading,
    jsonb_path_query_array(a.assessment, '$.findings[*].evidence[*].observation') as observations,
    jsonb_path_query_array(a.assessment, '$.findings[*].evidence[*].sighting') as sightings
  from claim_decision d
  join claim c on c.tenant_id = d.tenant_id and c.id = d.claim_id and c.decision_id = d.id
  join visit v on v.tenant_id = c.tenant_id and v.id = c.visit_id
  join claim_assessment a on a.tenant_id = d.tenant_id and a.id = d.assessment_id
  where d.tenant_id = $1 and d.id > $2 and d.state = 'standing' and c.state in ('decided', 'settling', 'settled', 'closed')
    and a.assessment #>> '{documents,evidenceModel,id}' = $3
    and ($4::date is null or (d.decided_at at time zone v.zone)::date >= $4::date)
    and ($5::date is null or (d.decided_at at time zone v.zone)::date <= $5::date)
  order by d.id limit ${AT_ONCE}`;

const FIRST = '00000000-0000-0000-0000-000000000000';

/** Decided claims as lessons for an evidence model. */
@Injectable()
export class DecidedLessonsService {
  constructor(private readonly db: Database) {}

  /**
   * Every claim of the caller's tenant with a decision that stands and something to learn from it, read a page at a time. A claim that
   * was opened again teaches nothing until it is decided again.
   * @param model code of the evidence model
   */
  async *lessons(actor: Actor, model: string, span: LessonSpan = {}): AsyncGenerator<Lesson, void, undefined> {
    for (let after = FIRST; ;) {
      const from = after;
      const rows = await this.db.inTenant(scopeOf(actor), (tx) =>
        page(tx, actor.tenant, model, { ...span, after: from }),
      );
      for (const row of rows) {
        const lesson = lessonOf(decidedFindings(row));
        if (lesson !== undefined) yield lesson;
      }
      const last = rows.at(-1);
      if (last === undefined || rows.length < AT_ONCE) return;
      after = last.id;
    }
  }
}

interface DecidedRow extends Omit<DecidedFindings, 'findings'> {
  readonly id: string;
  readonly subjects: readonly string[];
  readonly leading: readonly string[];
  readonly observations: readonly string[];
  readonly sightings: readonly ('present' | 'absent')[];
}

async function page(
  tx: EntityManager,
  tenant: string,
  model: string,
  span: LessonSpan & { readonly after: string },
): Promise<DecidedRow[]> {
  const values = [tenant, span.after, model, span.from ?? null, span.until ?? null];
  return tx.query<DecidedRow[]>(PAGE, values);
}

/** Which finding an observation came from does not matter to a lesson, so all of them are put beside the first. */
function decidedFindings({ subjects, leading, observations, sightings, ...rest }: DecidedRow): DecidedFindings {
  const evidence = observations.flatMap((observation, index) => {
    const sighting = sightings[index];
    return sighting === undefined ? [] : [{ observation, sighting }];
  });
  return {
    ...rest,
    findings: subjects.map((subject, index) => ({
      subject,
      leading: leading[index] ?? '',
      evidence: index === 0 ? evidence : [],
    })),
  };
}
