import type { MigrationInterface, QueryRunner } from 'typeorm';
import { each, wall } from './wall.js';

/** Resumable uploads on their way, and what each tenant keeps against its quota. */
export class TakeUploads1764057600040 implements MigrationInterface {
  name = 'TakeUploads1764057600040';

  async up(run: QueryRunner): Promise<void> {
    await run.query(`set local lock_timeout = '5s'`);
    await each(run, [
      `create table photo_upload (
         id uuid constraint photo_upload_pkey primary key,
         tenant_id uuid not null,
         visit_id uuid not null,
         inspection_id uuid not null,
         photo jsonb not null,
         sha256 char(64) not null,
         bytes bigint not null,
         sender_ref text not null,
         sender jsonb not null,
         created_at timestamptz not null,
         expires_at timestamptz not null,
         exhibit_id uuid,
         refusal jsonb,
         constraint photo_upload_tenant_id_inspection_id_fkey foreign key (tenant_id, inspection_id)
           references inspection (tenant_id, id),
         constraint photo_upload_sha256_check check (sha256 ~ '^[0-9a-f]{64}$'),
         constraint photo_upload_bytes_check check (bytes > 0),
         constraint photo_upload_outcome_check check (exhibit_id is null or refusal is null))`,
      `create index photo_upload_tenant_id_sender_ref_idx on photo_upload (tenant_id, sender_ref)`,
      `create table exhibit_usage (
         tenant_id uuid constraint exhibit_usage_pkey primary key constraint exhibit_usage_tenant_id_fkey references tenant (id),
         photos bigint not null,
         bytes bigint not null,
         max_photos bigint,
         max_bytes bigint,
         constraint exhibit_usage_photos_check check (photos >= 0 and max_photos >= 0),
         constraint exhibit_usage_bytes_check check (bytes >= 0 and max_bytes >= 0))`,
    ]);
    await wall(run, 'photo_upload', { visit: 'visit_id', throughVisit: 'visit_id' });
    await wall(run, 'exhibit_usage');
  }

  async down(run: QueryRunner): Promise<void> {
    await each(run, ['drop table exhibit_usage', 'drop table photo_upload']);
  }
}
