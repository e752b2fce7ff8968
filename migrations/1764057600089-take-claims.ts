import type { MigrationInterface, QueryRunner } from 'typeorm';
import { each, wall } from './wall.js';

/**
 * Who of the desk has taken which claim, so that two people do not begin on the same one. It says nothing about who may act, and neither
 * retailers nor crews reach a row of it. An open desk hears of it as of a change of the claim.
 */
export class TakeClaims1764057600089 implements MigrationInterface {
  name = 'TakeClaims1764057600089';

  async up(run: QueryRunner): Promise<void> {
    await run.query(`set local lock_timeout = '5s'`);
    await each(run, [
      `create table claim_taker (
         claim_id uuid constraint claim_taker_pkey primary key,
         tenant_id uuid not null,
         person_id uuid not null,
         taken_at timestamptz not null,
         constraint claim_taker_tenant_id_claim_id_fkey foreign key (tenant_id, claim_id) references claim (tenant_id, id),
         constraint claim_taker_tenant_id_person_id_fkey foreign key (tenant_id, person_id) references person (tenant_id, id))`,
      `create index claim_taker_tenant_id_person_id_idx on claim_taker (tenant_id, person_id)`,
      `create function tell_claim_taker_change() returns trigger language plpgsql as $$
       declare
         told claim_taker := coalesce(new, old);
       begin
         perform pg_notify('as_noted_change', told.tenant_id::text || ' claim ' || told.claim_id::text);
         return null;
       end $$`,
      `create trigger claim_taker_told after insert or update or delete on claim_taker
         for each row execute function tell_claim_taker_change()`,
    ]);
    await wall(run, 'claim_taker');
    await run.query(`create policy claim_taker_scope on claim_taker as restrictive
      using (coalesce(current_setting('app.retailer', true), '') = '' and coalesce(current_setting('app.visit', true), '') = '')`);
  }

  async down(run: QueryRunner): Promise<void> {
    await each(run, ['drop table claim_taker', 'drop function tell_claim_taker_change()']);
  }
}
