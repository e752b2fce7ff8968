import type { MigrationInterface, QueryRunner } from 'typeorm';
import { each, wall } from './wall.js';

/** What crews' phones say: each phone of a visit with how far it has counted, and every fact it sent, once and for good. */
export class HearPhones1764057600060 implements MigrationInterface {
  name = 'HearPhones1764057600060';

  async up(run: QueryRunner): Promise<void> {
    await run.query(`set local lock_timeout = '5s'`);
    await each(run, [
      `create table phone (
         visit_id uuid not null,
         id uuid not null,
         tenant_id uuid not null,
         crew text not null,
         counted_to integer not null,
         taken_to integer not null default 0,
         clock_ahead_seconds integer not null default 0,
         first_heard_at timestamptz not null,
         last_heard_at timestamptz not null,
         constraint phone_pkey primary key (visit_id, id),
         constraint phone_tenant_id_visit_id_fkey foreign key (tenant_id, visit_id) references visit (tenant_id, id),
         constraint phone_counted_check check (counted_to >= 0 and taken_to >= 0))`,
      `create index phone_tenant_id_last_heard_at_idx on phone (tenant_id, last_heard_at)`,
      `create table phone_fact (
         id uuid constraint phone_fact_pkey primary key,
         tenant_id uuid not null,
         visit_id uuid not null,
         phone_id uuid not null,
         n integer not null,
         kind text not null,
         inspection_id uuid,
         body jsonb not null,
         hash text not null,
         happened_at timestamptz not null,
         received_at timestamptz not null,
         received_by text not null,
         state text not null,
         problem text,
         constraint phone_fact_visit_id_phone_id_n_key unique (visit_id, phone_id, n),
         constraint phone_fact_visit_id_phone_id_fkey foreign key (visit_id, phone_id) references phone (visit_id, id),
         constraint phone_fact_tenant_id_visit_id_fkey foreign key (tenant_id, visit_id) references visit (tenant_id, id),
         constraint phone_fact_n_check check (n > 0),
         constraint phone_fact_kind_check check
           (kind in ('begin', 'answer', 'stop', 'acknowledge', 'receipt', 'complete', 'photo', 'withdraw', 'claim')),
         constraint phone_fact_state_check check (state in ('waiting', 'taken', 'refused')),
         constraint phone_fact_problem_check check ((state = 'refused') = (problem is not null)))`,
      `create index phone_fact_waiting_idx on phone_fact (visit_id, n) where state = 'waiting'`,
      `create index phone_fact_photos_idx on phone_fact (tenant_id, inspection_id) where kind in ('photo', 'withdraw')`,
      // What a phone said never changes; only what became of it does.
      `create function keep_phone_fact() returns trigger language plpgsql as $$
         begin
           if tg_op = 'DELETE' or (old.id, old.tenant_id, old.visit_id, old.phone_id, old.n, old.kind, old.inspection_id, old.hash,
               old.body, old.happened_at, old.received_at, old.received_by)
             is distinct from (new.id, new.tenant_id, new.visit_id, new.phone_id, new.n, new.kind, new.inspection_id, new.hash,
               new.body, new.happened_at, new.received_at, new.received_by) then
             raise exception 'what a phone said is not changed' using errcode = 'restrict_violation';
           end if;
           return new;
         end $$`,
      `create trigger phone_fact_kept before update or delete on phone_fact for each row execute function keep_phone_fact()`,
    ]);
    await wall(run, 'phone', { visit: 'visit_id', throughVisit: 'visit_id', grants: 'select, insert, update' });
    await wall(run, 'phone_fact', { visit: 'visit_id', throughVisit: 'visit_id', grants: 'select, insert, update' });
  }

  async down(run: QueryRunner): Promise<void> {
    await each(run, ['drop table phone_fact', 'drop table phone', 'drop function keep_phone_fact()']);
  }
}
