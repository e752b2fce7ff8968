import type { MigrationInterface, QueryRunner } from 'typeorm';
import { each, wall } from './wall.js';

/** Visits with their units, receipt and order, the links that let a crew in, and the inspections made there. */
export class PlanVisits1764057600003 implements MigrationInterface {
  name = 'PlanVisits1764057600003';

  async up(run: QueryRunner): Promise<void> {
    await run.query(`set local lock_timeout = '5s'`);
    await each(run, [
      `create table visit (
         id uuid constraint visit_pkey primary key default gen_random_uuid(),
         tenant_id uuid not null constraint visit_tenant_id_fkey references tenant (id),
         retailer_id uuid not null,
         carrier_id uuid not null,
         order_reference text not null,
         placed_on date not null,
         currency char(3) not null,
         price_minor bigint not null,
         tax_minor bigint not null,
         delivery_minor bigint not null,
         address jsonb not null,
         jurisdiction text not null,
         zone text not null,
         window_from timestamptz not null,
         window_to timestamptz not null,
         crew_size integer not null,
         custody jsonb not null default '[]',
         receipt text,
         receipt_words text,
         delivered_at timestamptz,
         version integer not null default 1,
         created_at timestamptz not null default now(),
         updated_at timestamptz not null default now(),
         constraint visit_tenant_id_id_key unique (tenant_id, id),
         constraint visit_tenant_id_retailer_id_fkey foreign key (tenant_id, retailer_id) references retailer (tenant_id, id),
         constraint visit_tenant_id_carrier_id_fkey foreign key (tenant_id, carrier_id) references carrier (tenant_id, id),
         constraint visit_tenant_id_retailer_id_order_reference_key unique (tenant_id, retailer_id, order_reference),
         constraint visit_receipt_check check (receipt in ('clean', 'exceptions noted', 'refused', 'no signature')),
         constraint visit_receipt_delivered_check check ((receipt is null) = (delivered_at is null)),
         constraint visit_amounts_check check (price_minor >= 0 and tax_minor >= 0 and delivery_minor >= 0),
         constraint visit_window_check check (window_from < window_to),
         constraint visit_crew_size_check check (crew_size between 1 and 10))`,
      `create index visit_tenant_id_window_from_idx on visit (tenant_id, window_from, id)`,
      `create table visit_unit (
         id uuid constraint visit_unit_pkey primary key default gen_random_uuid(),
         tenant_id uuid not null,
         visit_id uuid not null,
         model_id uuid not null,
         serial text not null,
         constraint visit_unit_tenant_id_id_key unique (tenant_id, id),
         constraint visit_unit_visit_id_serial_key unique (visit_id, serial),
         constraint visit_unit_tenant_id_visit_id_fkey foreign key (tenant_id, visit_id) references visit (tenant_id, id),
         constraint visit_unit_tenant_id_model_id_fkey foreign key (tenant_id, model_id) references model (tenant_id, id))`,
      `create index visit_unit_serial_idx on visit_unit (tenant_id, serial)`,
      `create table visit_link (
         id uuid constraint visit_link_pkey primary key default gen_random_uuid(),
         tenant_id uuid not null,
         visit_id uuid not null,
         token_hash bytea not null,
         crew_name text not null,
         created_by text not null,
         created_at timestamptz not null default now(),
         expires_at timestamptz not null,
         ended_at timestamptz,
         constraint visit_link_token_hash_key unique (token_hash),
         constraint visit_link_tenant_id_visit_id_fkey foreign key (tenant_id, visit_id) references visit (tenant_id, id))`,
      `create table inspection (
         id uuid constraint inspection_pkey primary key,
         tenant_id uuid not null,
         visit_id uuid not null,
         unit_id uuid not null,
         checklist_version_id uuid not null,
         crew_size integer not null,
         started_at timestamptz not null,
         finished_at timestamptz,
         found_at text not null default 'unboxing',
         started_by text not null,
         version integer not null default 1,
         created_at timestamptz not null default now(),
         constraint inspection_tenant_id_id_key unique (tenant_id, id),
         constraint inspection_tenant_id_visit_id_fkey foreign key (tenant_id, visit_id) references visit (tenant_id, id),
         constraint inspection_tenant_id_unit_id_fkey foreign key (tenant_id, unit_id) references visit_unit (tenant_id, id),
         constraint inspection_tenant_id_checklist_version_id_fkey
           foreign key (tenant_id, checklist_version_id) references checklist_version (tenant_id, id),
         constraint inspection_found_at_check check (found_at in ('unboxing', 'assembly', 'use')),
         constraint inspection_crew_size_check check (crew_size between 1 and 10))`,
      `create index inspection_visit_id_idx on inspection (visit_id)`,
      `create table inspection_answer (
         id bigint generated always as identity constraint inspection_answer_pkey primary key,
         tenant_id uuid not null,
         inspection_id uuid not null,
         visit_id uuid not null,
         item text not null,
         value jsonb,
         note text,
         answered_at timestamptz not null,
         answered_by text not null,
         received_at timestamptz not null default now(),
         constraint inspection_answer_tenant_id_inspection_id_fkey
           foreign key (tenant_id, inspection_id) references inspection (tenant_id, id),
         constraint inspection_answer_note_check check (length(note) <= 2000))`,
      `create index inspection_answer_inspection_id_idx on inspection_answer (inspection_id, id)`,
      `create trigger inspection_answer_fixed before update or delete on inspection_answer
         for each row execute function refuse_change()`,
      `create table safety_stop (
         tenant_id uuid not null,
         inspection_id uuid not null,
         visit_id uuid not null,
         stop text not null,
         raised_at timestamptz not null,
         raised_by text not null,
         acknowledged_at timestamptz,
         acknowledged_by text,
         constraint safety_stop_pkey primary key (inspection_id, stop),
         constraint safety_stop_tenant_id_inspection_id_fkey
           foreign key (tenant_id, inspection_id) references inspection (tenant_id, id),
         constraint safety_stop_acknowledged_check check ((acknowledged_at is null) = (acknowledged_by is null)))`,
    ]);
    await wall(run, 'visit', { retailer: 'retailer_id', visit: 'id' });
    await wall(run, 'visit_unit', { visit: 'visit_id', throughVisit: 'visit_id' });
    const presented = `decode(nullif(current_setting('app.credential', true), ''), 'hex')`;
    await wall(run, 'visit_link', { visit: 'visit_id', orFoundBy: `token_hash = ${presented}` });
    await wall(run, 'inspection', { visit: 'visit_id', throughVisit: 'visit_id' });
    await wall(run, 'inspection_answer', { visit: 'visit_id', throughVisit: 'visit_id', grants: 'select, insert' });
    await wall(run, 'safety_stop', { visit: 'visit_id', throughVisit: 'visit_id', grants: 'select, insert, update' });
  }

  async down(run: QueryRunner): Promise<void> {
    const tables = 'safety_stop inspection_answer inspection visit_link visit_unit visit'.split(' ');
    await each(
      run,
      tables.map((table) => `drop table ${table}`),
    );
  }
}
