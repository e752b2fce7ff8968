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
const AT_ONCE = 1000;

/**
 * The page is cut before anything large is read, and only what a lesson needs leaves the database: the rest of an assessment is many
 * times as large. Decisions of the page that teach nothing here come back without a model. `offset 0` has each claim and assessment
 * looked up by its key; the planner takes the walls for narrower than they are and would join the whole tables.
 */
const PAGE = `with page as materialized (
    select d.id, d.tenant_id, d.claim_id, d.assessment_id, d.decided_at, d.reason_code, d.body -> 'explanations' as named
    from claim_decision d
    where d.tenant_id = $1 and d.id > $2 and d.state = 'standing'
    order by d.id limit ${AT_ONCE})
  select d.id, coalesce(c.number, c.id::text) as claim, a.model, c.decided_on as "decidedOn", d.reason_code as reason, d.named,
    a.subjects, a.leading, a.observations, a.sightings
  from page d
  left join lateral (
    select c.id, c.number, ((d.decided_at at time zone (
        select v.zone from visit v where v.tenant_id = c.tenant_id and v.id = c.visit_id))::date)::text as decided_on
    from claim c
    where c.tenant_id = d.tenant_id and c.id = d.claim_id and c.decision_id = d.id
      and c.state in ('decided', 'settling', 'settled', 'closed')
    offset 0) c on true
  left join lateral (
    select $3::text as model, jsonb_path_query_array(f.findings, '$[*].subject') as subjects,
      jsonb_path_query_array(f.findings, '$[*].explanations[0].id') as leading,
      jsonb_path_query_array(f.findings, '$[*].evidence[*].observation') as observations,
      jsonb_path_query_array(f.findings, '$[*].evidence[*].sighting') as sightings
    from (
      select jsonb_path_query_first(a.assessment, '$ ? (@.documents.evidenceModel.id == $model).findings',
        jsonb_build_object('model', $3::text)) as findings
      from claim_assessment a
      where a.tenant_id = d.tenant_id and a.id = d.assessment_id
      offset 0) f
    where f.findings is not null) a
    on c.id is not null and ($4::text is null or c.decided_on >= $4) and ($5::text is null or c.decided_on <= $5)
  order by d.id`;

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
        const lesson = row.model === null ? undefined : lessonOf(decidedFindings(row));
        if (lesson !== undefined) yield lesson;
      }
      const last = rows.at(-1);
      if (last === undefined || rows.length < AT_ONCE) return;
      after = last.id;
    }
  }
}

interface TeachingRow extends Omit<DecidedFindings, 'findings'> {
  readonly id: string;
  readonly subjects: readonly string[];
  readonly leading: readonly string[];
  readonly observations: readonly string[];
  readonly sightings: readonly ('present' | 'absent')[];
}

type DecidedRow = TeachingRow | { readonly id: string; readonly model: null };

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
function decidedFindings({ subjects, leading, observations, sightings, ...rest }: TeachingRow): DecidedFindings {
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
