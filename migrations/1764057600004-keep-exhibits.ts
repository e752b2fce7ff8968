import type { MigrationInterface, QueryRunner } from 'typeorm';
import { each, wall } from './wall.js';

/** Photos as exhibits: the original's hash and receipt, and what was derived from it. */
export class KeepExhibits1764057600004 implements MigrationInterface {
  name = 'KeepExhibits1764057600004';

  async up(run: QueryRunner): Promise<void> {
    await run.query(`set local lock_timeout = '5s'`);
    await each(run, [
      `create table exhibit (
         id uuid constraint exhibit_pkey primary key,
         tenant_id uuid not null,
         visit_id uuid not null,
         inspection_id uuid not null,
         item text not null,
         shows text not null,
         sha256 char(64) not null,
         bytes bigint not null,
         media_type text not null,
         file_name text,
         received_at timestamptz not null,
         received_by jsonb not null,
         reading jsonb,
         state text not null,
         failure text,
         withdrawn_at timestamptz,
         withdrawn_by text,
         constraint exhibit_tenant_id_id_key unique (tenant_id, id),
         constraint exhibit_inspection_id_sha256_key unique (inspection_id, sha256),
         constraint exhibit_tenant_id_inspection_id_fkey foreign key (tenant_id, inspection_id) references inspection (tenant_id, id),
         constraint exhibit_sha256_check check (sha256 ~ '^[0-9a-f]{64}$'),
         constraint exhibit_bytes_check check (bytes > 0),
         constraint exhibit_state_check check (state in ('pending', 'read', 'failed')),
         constraint exhibit_failure_check check ((state = 'failed') = (failure is not null)))`,
      `create index exhibit_tenant_id_sha256_idx on exhibit (tenant_id, sha256)`,
      `create index exhibit_inspection_id_idx on exhibit (inspection_id)`,
      `create table exhibit_rendition (
         tenant_id uuid not null,
         exhibit_id uuid not null,
         visit_id uuid not null,
         size integer not null,
         sha256 char(64) not null,
         media_type text not null,
         width integer not null,
         height integer not null,
         bytes bigint not null,
         made_at timestamptz not null default now(),
         constraint exhibit_rendition_pkey primary key (exhibit_id, size),
         constraint exhibit_rendition_tenant_id_exhibit_id_fkey foreign key (tenant_id, exhibit_id) references exhibit (tenant_id, id),
         constraint exhibit_rendition_size_check check (size in (256, 1024, 2048)))`,
    ]);
    await wall(run, 'exhibit', { visit: 'visit_id', throughVisit: 'visit_id' });
    await wall(run, 'exhibit_rendition', { visit: 'visit_id', throughVisit: 'visit_id' });
  }

  async down(run: QueryRunner): Promise<void> {
    await each(run, ['drop table exhibit_rendition', 'drop table exhibit']);
  }
}
