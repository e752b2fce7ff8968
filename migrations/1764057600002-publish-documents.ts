import type { MigrationInterface, QueryRunner } from 'typeorm';
import { each, wall } from './wall.js';

/** Versions of checklists, evidence models and policies: written once, never changed after publication. */
export class PublishDocuments1764057600002 implements MigrationInterface {
  name = 'PublishDocuments1764057600002';

  async up(run: QueryRunner): Promise<void> {
    await run.query(`set local lock_timeout = '5s'`);
    await run.query(`create function refuse_change() returns trigger language plpgsql as $$
      begin
        raise exception 'rows of % are never changed or deleted', tg_table_name using errcode = 'restrict_violation';
      end $$`);
    await run.query(`create function refuse_change_once_published() returns trigger language plpgsql as $$
      begin
        if old.published_at is not null then
          raise exception 'a published version of % never changes', tg_table_name using errcode = 'restrict_violation';
        end if;
        return case tg_op when 'DELETE' then old else new end;
      end $$`);
    for (const table of ['checklist_version', 'evidence_model_version', 'policy_version']) {
      const dated = table === 'policy_version' ? 'jurisdiction text not null, effective_from date not null,' : '';
      await each(run, [
        `create table ${table} (
           id uuid constraint ${table}_pkey primary key default gen_random_uuid(),
           tenant_id uuid not null constraint ${table}_tenant_id_fkey references tenant (id),
           code text not null,
           version integer not null,
           title text not null,
           ${dated}
           body jsonb not null,
           hash char(64) not null,
           created_at timestamptz not null default now(),
           published_at timestamptz,
           published_by uuid,
           constraint ${table}_tenant_id_id_key unique (tenant_id, id),
           constraint ${table}_tenant_id_code_version_key unique (tenant_id, code, version),
           constraint ${table}_version_check check (version > 0),
           constraint ${table}_hash_check check (hash ~ '^[0-9a-f]{64}$'))`,
        `create trigger ${table}_fixed before update or delete on ${table}
           for each row execute function refuse_change_once_published()`,
      ]);
      await wall(run, table);
    }
  }

  async down(run: QueryRunner): Promise<void> {
    await each(run, [
      'drop table policy_version',
      'drop table evidence_model_version',
      'drop table checklist_version',
      'drop function refuse_change_once_published()',
      'drop function refuse_change()',
    ]);
  }
}
