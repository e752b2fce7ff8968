import type { MigrationInterface, QueryRunner } from 'typeorm';
import { each } from './wall.js';

const DOCUMENTS = ['checklist_version', 'evidence_model_version', 'policy_version'];

/** Who wrote a document, how often its draft was edited, and who closed an inspection with which gaps. */
export class NameAuthors1764057600006 implements MigrationInterface {
  name = 'NameAuthors1764057600006';

  async up(run: QueryRunner): Promise<void> {
    await run.query(`set local lock_timeout = '5s'`);
    for (const table of DOCUMENTS) {
      await each(run, [
        `alter table ${table}
           add column created_by uuid,
           add column edit integer not null default 1,
           add constraint ${table}_edit_check check (edit > 0),
           add constraint ${table}_published_check check ((published_at is null) = (published_by is null)),
           add constraint ${table}_tenant_id_created_by_fkey
             foreign key (tenant_id, created_by) references person (tenant_id, id),
           add constraint ${table}_tenant_id_published_by_fkey
             foreign key (tenant_id, published_by) references person (tenant_id, id)`,
      ]);
    }
    // A checklist may be published by its author; what decides about money may not.
    for (const table of ['evidence_model_version', 'policy_version']) {
      await run.query(
        `alter table ${table} add constraint ${table}_second_person_check check (published_by <> created_by)`,
      );
    }
    await run.query(`alter table inspection
      add column finished_by text,
      add column gaps_reason text,
      add constraint inspection_finished_check check ((finished_at is null) = (finished_by is null)),
      add constraint inspection_gaps_reason_check check (gaps_reason is null or finished_at is not null)`);
  }

  async down(run: QueryRunner): Promise<void> {
    await run.query(`alter table inspection
      drop constraint inspection_gaps_reason_check,
      drop constraint inspection_finished_check,
      drop column gaps_reason,
      drop column finished_by`);
    for (const table of ['evidence_model_version', 'policy_version']) {
      await run.query(`alter table ${table} drop constraint ${table}_second_person_check`);
    }
    for (const table of DOCUMENTS) {
      await run.query(`alter table ${table}
        drop constraint ${table}_tenant_id_published_by_fkey,
        drop constraint ${table}_tenant_id_created_by_fkey,
        drop constraint ${table}_published_check,
        drop constraint ${table}_edit_check,
        drop column edit,
        drop column created_by`);
    }
  }
}
