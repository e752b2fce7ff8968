import type { MigrationInterface, QueryRunner } from 'typeorm';
import { each } from './wall.js';

/** A claim that is opened or changes is told to whoever listens, when its transaction is through: its tenant and its id, no more. */
export class TellChanges1764057600070 implements MigrationInterface {
  name = 'TellChanges1764057600070';

  async up(run: QueryRunner): Promise<void> {
    await run.query(`set local lock_timeout = '5s'`);
    await each(run, [
      `create function tell_claim_change() returns trigger language plpgsql as $$
       begin
         perform pg_notify('as_noted_change', new.tenant_id::text || ' claim ' || new.id::text);
         return null;
       end $$`,
      `create trigger claim_told after insert or update on claim for each row execute function tell_claim_change()`,
    ]);
  }

  async down(run: QueryRunner): Promise<void> {
    await each(run, ['drop trigger claim_told on claim', 'drop function tell_claim_change()']);
  }
}
