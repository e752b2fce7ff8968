import type { MigrationInterface, QueryRunner } from 'typeorm';
import { each } from './wall.js';

/**
 * Who last changed a draft of an evidence model, so that nobody publishes what they wrote into another's draft; and a version that is
 * written, changed or published is told to whoever listens: its tenant and its id, no more.
 */
export class MindModelDrafts1764057600094 implements MigrationInterface {
  name = 'MindModelDrafts1764057600094';

  async up(run: QueryRunner): Promise<void> {
    await run.query(`set local lock_timeout = '5s'`);
    await each(run, [
      `alter table evidence_model_version
         add column changed_by uuid,
         add constraint evidence_model_version_tenant_id_changed_by_fkey
           foreign key (tenant_id, changed_by) references person (tenant_id, id),
         add constraint evidence_model_version_last_hand_check check (published_by <> changed_by)`,
      `create function tell_evidence_model_change() returns trigger language plpgsql as $$
       begin
         perform pg_notify('as_noted_change', new.tenant_id::text || ' evidence-model ' || new.id::text);
         return null;
       end $$`,
      `create trigger evidence_model_told after insert or update on evidence_model_version
         for each row execute function tell_evidence_model_change()`,
    ]);
  }

  async down(run: QueryRunner): Promise<void> {
    await each(run, [
      'drop trigger evidence_model_told on evidence_model_version',
      'drop function tell_evidence_model_change()',
      'alter table evidence_model_version drop column changed_by',
    ]);
  }
}
