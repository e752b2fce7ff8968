import type { MigrationInterface, QueryRunner } from 'typeorm';
import { each } from './wall.js';

/** A version of a checklist, or a model of the catalogue, that changes is told to whoever listens: tenant and code, no more. */
export class TellChecklistChanges1764057600096 implements MigrationInterface {
  name = 'TellChecklistChanges1764057600096';

  async up(run: QueryRunner): Promise<void> {
    await run.query(`set local lock_timeout = '5s'`);
    await each(run, [
      `create function tell_checklist_change() returns trigger language plpgsql as $$
       begin
         perform pg_notify('as_noted_change', new.tenant_id::text || ' checklist ' || new.code);
         return null;
       end $$`,
      `create function tell_model_change() returns trigger language plpgsql as $$
       begin
         perform pg_notify('as_noted_change', new.tenant_id::text || ' catalogue-model ' || new.sku);
         return null;
       end $$`,
      `create trigger checklist_version_told after insert or update on checklist_version
         for each row execute function tell_checklist_change()`,
      `create trigger model_told after insert or update on model for each row execute function tell_model_change()`,
    ]);
  }

  async down(run: QueryRunner): Promise<void> {
    await each(run, [
      'drop trigger model_told on model',
      'drop trigger checklist_version_told on checklist_version',
      'drop function tell_model_change()',
      'drop function tell_checklist_change()',
    ]);
  }
}
