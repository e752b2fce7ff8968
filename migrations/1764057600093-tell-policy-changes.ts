import type { MigrationInterface, QueryRunner } from 'typeorm';
import { each } from './wall.js';

/** A version of a policy that moves, and a rehearsal that gets on, are told to whoever listens: tenant and id, no more. */
export class TellPolicyChanges1764057600093 implements MigrationInterface {
  name = 'TellPolicyChanges1764057600093';

  async up(run: QueryRunner): Promise<void> {
    await run.query(`set local lock_timeout = '5s'`);
    await each(run, [
      `create function tell_policy_version_change() returns trigger language plpgsql as $$
       begin
         perform pg_notify('as_noted_change', new.tenant_id::text || ' policy-version ' || new.id::text);
         return null;
       end $$`,
      `create function tell_policy_period_change() returns trigger language plpgsql as $$
       begin
         perform pg_notify('as_noted_change', new.tenant_id::text || ' policy-version ' || new.policy_version_id::text);
         return null;
       end $$`,
      `create function tell_rehearsal_change() returns trigger language plpgsql as $$
       begin
         perform pg_notify('as_noted_change', new.tenant_id::text || ' rehearsal ' || new.id::text);
         return null;
       end $$`,
      `create function tell_rehearsal_batch_change() returns trigger language plpgsql as $$
       begin
         perform pg_notify('as_noted_change', new.tenant_id::text || ' rehearsal ' || new.rehearsal_id::text);
         return null;
       end $$`,
      `create trigger policy_version_told after insert or update on policy_version
         for each row execute function tell_policy_version_change()`,
      `create trigger policy_period_told after insert or update on policy_period
         for each row execute function tell_policy_period_change()`,
      `create trigger rehearsal_told after insert or update on rehearsal
         for each row execute function tell_rehearsal_change()`,
      // A stretch that is through; that stretches are planned is told by the rehearsal itself.
      `create trigger rehearsal_batch_told after update on rehearsal_batch
         for each row execute function tell_rehearsal_batch_change()`,
    ]);
  }

  async down(run: QueryRunner): Promise<void> {
    await each(run, [
      'drop trigger rehearsal_batch_told on rehearsal_batch',
      'drop trigger rehearsal_told on rehearsal',
      'drop trigger policy_period_told on policy_period',
      'drop trigger policy_version_told on policy_version',
      'drop function tell_rehearsal_batch_change()',
      'drop function tell_rehearsal_change()',
      'drop function tell_policy_period_change()',
      'drop function tell_policy_version_change()',
    ]);
  }
}
