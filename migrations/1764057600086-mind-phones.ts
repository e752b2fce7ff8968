import type { MigrationInterface, QueryRunner } from 'typeorm';
import { each, wall } from './wall.js';

/**
 * Phones that are lost, answers that an analyst settled where two phones disagree, and what administrators do to people and keys.
 * An open desk hears of phones and of photos that come.
 */
export class MindPhones1764057600086 implements MigrationInterface {
  name = 'MindPhones1764057600086';

  async up(run: QueryRunner): Promise<void> {
    await run.query(`set local lock_timeout = '5s'`);
    await each(run, [
      // Lost until it is heard again: what it brings afterwards is taken as always.
      `alter table phone
         add column lost_at timestamptz,
         add column lost_by text,
         add column lost_because text,
         add constraint phone_lost_check check ((lost_at is null) = (lost_by is null) and (lost_at is null) = (lost_because is null))`,
      `create table settled_answer (
         id uuid constraint settled_answer_pkey primary key default gen_random_uuid(),
         tenant_id uuid not null,
         visit_id uuid not null,
         inspection_id uuid not null,
         item text not null,
         value jsonb,
         words text not null,
         up_to bigint not null,
         facts uuid[] not null,
         settled_at timestamptz not null,
         settled_by text not null,
         settled_by_name text not null,
         constraint settled_answer_tenant_id_inspection_id_fkey
           foreign key (tenant_id, inspection_id) references inspection (tenant_id, id),
         constraint settled_answer_words_check check (char_length(words) between 1 and 2000))`,
      `create index settled_answer_inspection_id_idx on settled_answer (inspection_id, item, settled_at)`,
      `create trigger settled_answer_fixed before update or delete on settled_answer
         for each row execute function refuse_change()`,
      `create table access_event (
         id uuid constraint access_event_pkey primary key default gen_random_uuid(),
         tenant_id uuid not null constraint access_event_tenant_id_fkey references tenant (id),
         kind text not null,
         at timestamptz not null,
         actor jsonb not null,
         body jsonb not null,
         constraint access_event_kind_check check (kind in ('person-added', 'person-changed', 'person-shut-out', 'person-let-in',
           'password-set', 'key-made', 'key-ended')))`,
      `create index access_event_tenant_id_at_idx on access_event (tenant_id, at, id)`,
      `create trigger access_event_fixed before update or delete on access_event for each row execute function refuse_change()`,
      `create index claim_event_tenant_id_at_idx on claim_event (tenant_id, at)`,
      `create index recovery_event_tenant_id_at_idx on recovery_event (tenant_id, at)`,
      `create function tell_phone_change() returns trigger language plpgsql as $$
       begin
         perform pg_notify('as_noted_change', new.tenant_id::text || ' phone ' || new.visit_id::text);
         return null;
       end $$`,
      // A phone that only says that it is there is no news.
      `create trigger phone_new_told after insert on phone for each row execute function tell_phone_change()`,
      `create trigger phone_told after update on phone for each row
         when ((old.counted_to, old.taken_to, old.lost_at, old.lost_at >= old.last_heard_at)
           is distinct from (new.counted_to, new.taken_to, new.lost_at, new.lost_at >= new.last_heard_at))
         execute function tell_phone_change()`,
      `create function tell_photo_change() returns trigger language plpgsql as $$
       begin
         perform pg_notify('as_noted_change', new.tenant_id::text || ' phone ' || new.visit_id::text);
         perform pg_notify('as_noted_change', new.tenant_id::text || ' claim ' || claim.id::text)
           from claim where claim.tenant_id = new.tenant_id and claim.visit_id = new.visit_id
             and claim.inspection_id = new.inspection_id;
         return null;
       end $$`,
      `create trigger exhibit_told after insert or update of state, withdrawn_at on exhibit
         for each row execute function tell_photo_change()`,
      `create index claim_tenant_id_visit_id_idx on claim (tenant_id, visit_id)`,
    ]);
    await wall(run, 'settled_answer', { visit: 'visit_id', throughVisit: 'visit_id', grants: 'select, insert' });
    await wall(run, 'access_event', { grants: 'select, insert' });
    // A retailer's person may make a key, which is written here; what others did is not theirs to read.
    await run.query(`create policy access_event_scope on access_event as restrictive for select
      using (coalesce(current_setting('app.retailer', true), '') = '' and coalesce(current_setting('app.visit', true), '') = '')`);
  }

  async down(run: QueryRunner): Promise<void> {
    await each(run, [
      'drop index claim_tenant_id_visit_id_idx',
      'drop trigger exhibit_told on exhibit',
      'drop function tell_photo_change()',
      'drop trigger phone_told on phone',
      'drop trigger phone_new_told on phone',
      'drop function tell_phone_change()',
      'drop index recovery_event_tenant_id_at_idx',
      'drop index claim_event_tenant_id_at_idx',
      'drop table access_event',
      'drop table settled_answer',
      'alter table phone drop column lost_at, drop column lost_by, drop column lost_because',
    ]);
  }
}
