import type { MigrationInterface, QueryRunner } from 'typeorm';
import { each, wall } from './wall.js';

/** Rehearsals of a version over past claims: what was asked, stretches of records to go through, and the claims that would come out otherwise. */
export class RehearsePolicies1764057600032 implements MigrationInterface {
  name = 'RehearsePolicies1764057600032';

  async up(run: QueryRunner): Promise<void> {
    await run.query(`set local lock_timeout = '5s'`);
    await each(run, [
      `create table rehearsal (
         id uuid constraint rehearsal_pkey primary key,
         tenant_id uuid not null,
         policy_version_id uuid not null,
         code text not null,
         version integer not null,
         hash char(64) not null,
         document jsonb not null,
         jurisdiction text not null,
         wish jsonb not null,
         state text not null,
         claims integer,
         asked_by uuid not null,
         asked_at timestamptz not null,
         planned_at timestamptz,
         finished_at timestamptz,
         result jsonb,
         problem text,
         constraint rehearsal_tenant_id_id_key unique (tenant_id, id),
         constraint rehearsal_tenant_id_policy_version_id_fkey
           foreign key (tenant_id, policy_version_id) references policy_version (tenant_id, id),
         constraint rehearsal_tenant_id_asked_by_fkey foreign key (tenant_id, asked_by) references person (tenant_id, id),
         constraint rehearsal_state_check check (state in ('waiting', 'running', 'finished', 'cancelled', 'failed')),
         constraint rehearsal_finished_check check ((finished_at is null) = (state in ('waiting', 'running'))),
         constraint rehearsal_result_check check ((result is not null) = (state = 'finished')))`,
      `create index rehearsal_tenant_id_code_asked_at_idx on rehearsal (tenant_id, code, asked_at, id)`,
      `create table rehearsal_batch (
         tenant_id uuid not null,
         rehearsal_id uuid not null,
         n integer not null,
         from_at timestamptz not null,
         from_id uuid not null,
         to_at timestamptz not null,
         to_id uuid not null,
         claims integer not null,
         totals jsonb,
         constraint rehearsal_batch_pkey primary key (rehearsal_id, n),
         constraint rehearsal_batch_tenant_id_rehearsal_id_fkey
           foreign key (tenant_id, rehearsal_id) references rehearsal (tenant_id, id) on delete cascade)`,
      `create index rehearsal_batch_open_idx on rehearsal_batch (rehearsal_id, n) where totals is null`,
      `create table rehearsal_change (
         tenant_id uuid not null,
         rehearsal_id uuid not null,
         record_id uuid not null,
         claim_id uuid not null,
         weight bigint not null,
         kinds text[] not null,
         body jsonb not null,
         constraint rehearsal_change_pkey primary key (rehearsal_id, record_id),
         constraint rehearsal_change_tenant_id_rehearsal_id_fkey
           foreign key (tenant_id, rehearsal_id) references rehearsal (tenant_id, id) on delete cascade)`,
      `create index rehearsal_change_weight_idx on rehearsal_change (rehearsal_id, weight desc, record_id)`,
    ]);
    await wall(run, 'rehearsal', { grants: 'select, insert, update' });
    await wall(run, 'rehearsal_batch', { grants: 'select, insert, update, delete' });
    await wall(run, 'rehearsal_change', { grants: 'select, insert' });
  }

  async down(run: QueryRunner): Promise<void> {
    await each(run, ['drop table rehearsal_change', 'drop table rehearsal_batch', 'drop table rehearsal']);
  }
}
