import type { MigrationInterface, QueryRunner } from 'typeorm';
import { APP_ROLE, each, wall } from './wall.js';

/** Tenants, the companies around them, people, and everything that lets somebody in. */
export class OpenTenants1764057600000 implements MigrationInterface {
  name = 'OpenTenants1764057600000';

  async up(run: QueryRunner): Promise<void> {
    await run.query(`set local lock_timeout = '5s'`);
    await each(run, [
      `grant usage on schema public to ${APP_ROLE}`,
      `create table tenant (
         id uuid constraint tenant_pkey primary key,
         name text not null,
         sample boolean not null default false,
         created_at timestamptz not null default now(),
         constraint tenant_name_check check (length(name) between 1 and 200))`,
      `alter table tenant enable row level security`,
      `alter table tenant force row level security`,
      `create policy tenant_wall on tenant using (id = nullif(current_setting('app.tenant', true), '')::uuid)`,
      `grant select, insert, update on tenant to ${APP_ROLE}`,
      `create table retailer (
         id uuid constraint retailer_pkey primary key default gen_random_uuid(),
         tenant_id uuid not null constraint retailer_tenant_id_fkey references tenant (id),
         name text not null,
         code text not null,
         created_at timestamptz not null default now(),
         constraint retailer_tenant_id_id_key unique (tenant_id, id),
         constraint retailer_tenant_id_code_key unique (tenant_id, code))`,
      `create table carrier (
         id uuid constraint carrier_pkey primary key default gen_random_uuid(),
         tenant_id uuid not null constraint carrier_tenant_id_fkey references tenant (id),
         name text not null,
         code text not null,
         created_at timestamptz not null default now(),
         constraint carrier_tenant_id_id_key unique (tenant_id, id),
         constraint carrier_tenant_id_code_key unique (tenant_id, code))`,
      `create table person (
         id uuid constraint person_pkey primary key default gen_random_uuid(),
         tenant_id uuid not null constraint person_tenant_id_fkey references tenant (id),
         retailer_id uuid,
         name text not null,
         email text not null,
         password_hash text not null,
         roles text[] not null,
         created_at timestamptz not null default now(),
         disabled_at timestamptz,
         constraint person_tenant_id_id_key unique (tenant_id, id),
         constraint person_email_key unique (email),
         constraint person_email_check check (email = lower(email) and length(email) <= 254),
         constraint person_roles_check check (
           roles <@ array['crew', 'analyst', 'retailer', 'policy owner', 'administrator'] and cardinality(roles) > 0),
         constraint person_retailer_check check (('retailer' = any (roles)) = (retailer_id is not null)),
         constraint person_tenant_id_retailer_id_fkey foreign key (tenant_id, retailer_id) references retailer (tenant_id, id))`,
      `create table session (
         token_hash bytea constraint session_pkey primary key,
         tenant_id uuid not null,
         person_id uuid not null,
         created_at timestamptz not null default now(),
         last_seen_at timestamptz not null default now(),
         expires_at timestamptz not null,
         ended_at timestamptz,
         constraint session_tenant_id_person_id_fkey foreign key (tenant_id, person_id) references person (tenant_id, id))`,
      `create index session_person_id_idx on session (person_id)`,
      `create table api_key (
         id uuid constraint api_key_pkey primary key default gen_random_uuid(),
         tenant_id uuid not null constraint api_key_tenant_id_fkey references tenant (id),
         retailer_id uuid,
         name text not null,
         prefix text not null,
         key_hash bytea not null,
         scopes text[] not null,
         created_by uuid not null,
         created_at timestamptz not null default now(),
         expires_at timestamptz,
         ended_at timestamptz,
         last_used_at timestamptz,
         constraint api_key_key_hash_key unique (key_hash),
         constraint api_key_tenant_id_retailer_id_fkey foreign key (tenant_id, retailer_id) references retailer (tenant_id, id),
         constraint api_key_tenant_id_created_by_fkey foreign key (tenant_id, created_by) references person (tenant_id, id))`,
      `create table sign_in_attempt (
         id bigint generated always as identity constraint sign_in_attempt_pkey primary key,
         email_hash bytea not null,
         address text not null,
         at timestamptz not null default now())`,
      `create index sign_in_attempt_email_hash_at_idx on sign_in_attempt (email_hash, at)`,
      `create index sign_in_attempt_address_at_idx on sign_in_attempt (address, at)`,
      `grant select, insert, delete on sign_in_attempt to ${APP_ROLE}`,
      `create table idempotency_key (
         tenant_id uuid not null constraint idempotency_key_tenant_id_fkey references tenant (id),
         client text not null,
         key text not null,
         fingerprint text not null,
         status integer,
         headers jsonb,
         body jsonb,
         created_at timestamptz not null default now(),
         expires_at timestamptz not null,
         constraint idempotency_key_pkey primary key (tenant_id, client, key),
         constraint idempotency_key_key_check check (length(key) between 1 and 255))`,
      `create index idempotency_key_expires_at_idx on idempotency_key (expires_at)`,
    ]);
    const presented = `decode(nullif(current_setting('app.credential', true), ''), 'hex')`;
    await wall(run, 'retailer', { retailer: 'id' });
    await wall(run, 'carrier');
    await wall(run, 'person', { orFoundBy: `email = nullif(current_setting('app.credential', true), '')` });
    await wall(run, 'session', { orFoundBy: `token_hash = ${presented}` });
    await wall(run, 'api_key', { orFoundBy: `key_hash = ${presented}` });
    await wall(run, 'idempotency_key');
  }

  async down(run: QueryRunner): Promise<void> {
    const tables = 'idempotency_key sign_in_attempt api_key session person carrier retailer tenant'.split(' ');
    await each(
      run,
      tables.map((table) => `drop table ${table}`),
    );
  }
}
