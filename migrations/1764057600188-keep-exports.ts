import type { MigrationInterface, QueryRunner } from 'typeorm';
import { each, wall } from './wall.js';

/** Files of claims that a retailer took or has made for it by the week or the month. */
export class KeepExports1764057600188 implements MigrationInterface {
  name = 'KeepExports1764057600188';

  async up(run: QueryRunner): Promise<void> {
    await run.query(`set local lock_timeout = '5s'`);
    await each(run, [
      `create table export_schedule (
         id uuid constraint export_schedule_pkey primary key,
         tenant_id uuid not null,
         retailer_id uuid not null,
         every text not null constraint export_schedule_every_check check (every in ('week', 'month')),
         wish jsonb not null,
         made_by text not null,
         made_at timestamptz not null,
         next_at timestamptz not null,
         ended_at timestamptz,
         constraint export_schedule_tenant_id_id_key unique (tenant_id, id),
         constraint export_schedule_tenant_id_retailer_id_fkey foreign key (tenant_id, retailer_id)
           references retailer (tenant_id, id))`,
      `create index export_schedule_due_idx on export_schedule (next_at) where ended_at is null`,
      `create index export_schedule_company_idx on export_schedule (tenant_id, retailer_id)`,
      `create table claim_export (
         id uuid constraint claim_export_pkey primary key,
         tenant_id uuid not null,
         retailer_id uuid not null,
         schedule_id uuid,
         wish jsonb not null,
         made_by text not null,
         made_at timestamptz not null,
         claims integer,
         failure text,
         content bytea,
         constraint claim_export_tenant_id_retailer_id_fkey foreign key (tenant_id, retailer_id)
           references retailer (tenant_id, id),
         constraint claim_export_tenant_id_schedule_id_fkey foreign key (tenant_id, schedule_id)
           references export_schedule (tenant_id, id))`,
      `create index claim_export_newest_idx on claim_export (tenant_id, retailer_id, made_at desc, id)`,
      `create index claim_export_schedule_idx on claim_export (tenant_id, schedule_id)`,
    ]);
    await wall(run, 'export_schedule', { retailer: 'retailer_id', grants: 'select, insert, update' });
    await wall(run, 'claim_export', { retailer: 'retailer_id', grants: 'select, insert, delete' });
    // The job looks for what is due across tenants, and sees nothing else of them.
    await run.query(
      `create policy export_schedule_watch on export_schedule for select
         using (coalesce(current_setting('app.tenant', true), '') = '' and ended_at is null
           and current_setting('app.credential', true) = 'watch:exports')`,
    );
  }

  async down(run: QueryRunner): Promise<void> {
    await each(run, ['drop table claim_export', 'drop table export_schedule']);
  }
}
