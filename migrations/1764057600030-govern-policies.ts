import type { MigrationInterface, QueryRunner } from 'typeorm';
import { each, wall } from './wall.js';

/**
 * The life of a policy's version: proposed, approved for one content, put on the calendar, superseded, withdrawn. Which version holds on a
 * day is kept by two times: the days on which it holds, and since when, until when, that was what the house had written down.
 */
export class GovernPolicies1764057600030 implements MigrationInterface {
  name = 'GovernPolicies1764057600030';

  async up(run: QueryRunner): Promise<void> {
    await run.query(`set local lock_timeout = '5s'`);
    await each(run, [
      `alter table policy_version
         add column stage text not null default 'draft',
         add column effective_to date,
         add column approved_by uuid,
         add column approved_at timestamptz,
         add column approved_hash char(64),
         add constraint policy_version_stage_check check (stage in ('draft', 'proposed', 'approved')),
         add constraint policy_version_effective_check check (effective_to > effective_from),
         add constraint policy_version_approved_check check (
           (stage = 'approved') = (approved_by is not null)
           and (approved_by is null) = (approved_at is null) and (approved_by is null) = (approved_hash is null)),
         add constraint policy_version_approved_content_check check (approved_hash = hash),
         add constraint policy_version_approver_check check (approved_by <> created_by),
         add constraint policy_version_tenant_id_approved_by_fkey
           foreign key (tenant_id, approved_by) references person (tenant_id, id)`,
      // What was published before there were approvals was approved by whoever published it.
      `alter table policy_version disable trigger policy_version_fixed`,
      `update policy_version set stage = 'approved', approved_by = published_by, approved_at = published_at, approved_hash = hash
         where published_at is not null`,
      `alter table policy_version enable trigger policy_version_fixed`,
      `alter table policy_version add constraint policy_version_published_approved_check
         check (published_at is null or stage = 'approved')`,
      `create table policy_step (
         tenant_id uuid not null,
         policy_version_id uuid not null,
         n integer not null,
         kind text not null,
         at timestamptz not null,
         by uuid not null,
         hash char(64) not null,
         words text,
         body jsonb not null default '{}',
         constraint policy_step_pkey primary key (policy_version_id, n),
         constraint policy_step_tenant_id_policy_version_id_fkey
           foreign key (tenant_id, policy_version_id) references policy_version (tenant_id, id),
         constraint policy_step_tenant_id_by_fkey foreign key (tenant_id, by) references person (tenant_id, id),
         constraint policy_step_n_check check (n > 0),
         constraint policy_step_kind_check check (kind in
           ('drafted', 'edited', 'proposed', 'approved', 'rejected', 'published', 'withdrawn')))`,
      `create trigger policy_step_fixed before update or delete on policy_step for each row execute function refuse_change()`,
      `create type policy_span as range (subtype = text)`,
      `create table policy_period (
         id uuid constraint policy_period_pkey primary key default gen_random_uuid(),
         tenant_id uuid not null,
         policy_version_id uuid not null,
         code text not null,
         version integer not null,
         jurisdiction text not null,
         effective daterange not null,
         because text not null,
         recorded_at timestamptz not null,
         superseded_at timestamptz,
         constraint policy_period_tenant_id_policy_version_id_fkey
           foreign key (tenant_id, policy_version_id) references policy_version (tenant_id, id),
         constraint policy_period_effective_check check (not isempty(effective)),
         constraint policy_period_recorded_check check (superseded_at >= recorded_at),
         constraint policy_period_because_check check (because in ('published', 'cut', 'restored')),
         constraint policy_period_one_at_a_time exclude using gist
           (policy_span(tenant_id::text || ' ' || code, tenant_id::text || ' ' || code, '[]') with &&, effective with &&)
           where (superseded_at is null))`,
      `create index policy_period_tenant_id_jurisdiction_idx on policy_period (tenant_id, jurisdiction) where superseded_at is null`,
      `create index policy_period_tenant_id_code_idx on policy_period (tenant_id, code, recorded_at)`,
      `create function refuse_change_but_supersede() returns trigger language plpgsql as $$
        declare
          closed policy_period := new;
        begin
          closed.superseded_at := old.superseded_at;
          if tg_op = 'UPDATE' and old.superseded_at is null and new.superseded_at is not null and closed is not distinct from old then
            return new;
          end if;
          raise exception 'rows of % are superseded once, and never changed or deleted', tg_table_name using errcode = 'restrict_violation';
        end $$`,
      `create trigger policy_period_fixed before update or delete on policy_period
         for each row execute function refuse_change_but_supersede()`,
    ]);
    await this.bringAlong(run);
    await wall(run, 'policy_step', { grants: 'select, insert' });
    await wall(run, 'policy_period', { grants: 'select, insert, update' });
  }

  /** Versions published so far: each held from its day until the day of the next one, and that was known when it was published. */
  private async bringAlong(run: QueryRunner): Promise<void> {
    await each(run, [
      `insert into policy_step (tenant_id, policy_version_id, n, kind, at, by, hash)
         select tenant_id, id, 1, 'drafted', created_at, created_by, hash from policy_version where created_by is not null`,
      `insert into policy_step (tenant_id, policy_version_id, n, kind, at, by, hash)
         select tenant_id, id, 2, 'approved', published_at, published_by, hash from policy_version where published_at is not null`,
      `insert into policy_step (tenant_id, policy_version_id, n, kind, at, by, hash)
         select tenant_id, id, 3, 'published', published_at, published_by, hash from policy_version where published_at is not null`,
      `insert into policy_period
         (tenant_id, policy_version_id, code, version, jurisdiction, effective, because, recorded_at, superseded_at)
         select tenant_id, id, code, version, jurisdiction, daterange(effective_from, until), 'published', published_at, null
         from (
           select v.*, (select min(w.effective_from) from policy_version w
             where w.tenant_id = v.tenant_id and w.code = v.code and w.published_at is not null and w.effective_from > v.effective_from) until
           from policy_version v where v.published_at is not null
             and not exists (select 1 from policy_version w where w.tenant_id = v.tenant_id and w.code = v.code
               and w.published_at is not null and w.effective_from = v.effective_from and w.version > v.version)) newest`,
    ]);
  }

  async down(run: QueryRunner): Promise<void> {
    await each(run, [
      'drop table policy_period',
      'drop function refuse_change_but_supersede()',
      'drop type policy_span',
      'drop table policy_step',
      `alter table policy_version
         drop constraint policy_version_published_approved_check,
         drop constraint policy_version_tenant_id_approved_by_fkey,
         drop constraint policy_version_approver_check,
         drop constraint policy_version_approved_content_check,
         drop constraint policy_version_approved_check,
         drop constraint policy_version_effective_check,
         drop constraint policy_version_stage_check,
         drop column approved_hash,
         drop column approved_at,
         drop column approved_by,
         drop column effective_to,
         drop column stage`,
    ]);
  }
}
