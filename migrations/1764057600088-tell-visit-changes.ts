import type { MigrationInterface, QueryRunner } from 'typeorm';
import { each } from './wall.js';

/** Tables in whose rows something of a visit changes, and the column that names the visit. */
const TOLD = [
  ['visit', 'id'],
  ['visit_link', 'visit_id'],
  ['inspection', 'visit_id'],
] as const;

/** A visit that is planned or changes, its links and its inspections are told to whoever listens: tenant and id, no more. */
export class TellVisitChanges1764057600088 implements MigrationInterface {
  name = 'TellVisitChanges1764057600088';

  async up(run: QueryRunner): Promise<void> {
    await run.query(`set local lock_timeout = '5s'`);
    for (const [table, column] of TOLD) {
      await each(run, [
        `create function tell_change_of_${table}_to_visit() returns trigger language plpgsql as $$
         begin
           perform pg_notify('as_noted_change', new.tenant_id::text || ' visit ' || new.${column}::text);
           return null;
         end $$`,
        `create trigger ${table}_told_of_visit after insert or update on ${table}
           for each row execute function tell_change_of_${table}_to_visit()`,
      ]);
    }
  }

  async down(run: QueryRunner): Promise<void> {
    for (const [table] of TOLD) {
      await each(run, [
        `drop trigger ${table}_told_of_visit on ${table}`,
        `drop function tell_change_of_${table}_to_visit()`,
      ]);
    }
  }
}
