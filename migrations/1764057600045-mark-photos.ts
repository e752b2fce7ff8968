import type { MigrationInterface, QueryRunner } from 'typeorm';
import { each, wall } from './wall.js';

/** Regions that people marked in photos. Nothing is changed or removed: taking a mark back is a row of its own. */
export class MarkPhotos1764057600045 implements MigrationInterface {
  name = 'MarkPhotos1764057600045';

  async up(run: QueryRunner): Promise<void> {
    await run.query(`set local lock_timeout = '5s'`);
    await each(run, [
      `create table exhibit_mark (
         id uuid constraint exhibit_mark_pkey primary key,
         tenant_id uuid not null,
         visit_id uuid not null,
         exhibit_id uuid not null,
         photo_sha256 char(64) not null,
         width integer not null,
         height integer not null,
         pipeline text not null,
         polygon jsonb not null,
         says text,
         made_at timestamptz not null,
         made_by jsonb not null,
         constraint exhibit_mark_tenant_id_id_key unique (tenant_id, id),
         constraint exhibit_mark_tenant_id_exhibit_id_fkey foreign key (tenant_id, exhibit_id) references exhibit (tenant_id, id),
         constraint exhibit_mark_polygon_check check (jsonb_typeof(polygon) = 'array' and jsonb_array_length(polygon) between 3 and 200),
         constraint exhibit_mark_size_check check (width > 0 and height > 0))`,
      `create index exhibit_mark_exhibit_id_idx on exhibit_mark (exhibit_id)`,
      `create table exhibit_mark_withdrawal (
         mark_id uuid constraint exhibit_mark_withdrawal_pkey primary key,
         tenant_id uuid not null,
         visit_id uuid not null,
         withdrawn_at timestamptz not null,
         withdrawn_by jsonb not null,
         constraint exhibit_mark_withdrawal_tenant_id_mark_id_fkey foreign key (tenant_id, mark_id) references exhibit_mark (tenant_id, id))`,
    ]);
    for (const table of ['exhibit_mark', 'exhibit_mark_withdrawal']) {
      await run.query(
        `create trigger ${table}_fixed before update or delete on ${table} for each row execute function refuse_change()`,
      );
      await wall(run, table, { visit: 'visit_id', throughVisit: 'visit_id', grants: 'select, insert' });
    }
  }

  async down(run: QueryRunner): Promise<void> {
    await each(run, ['drop table exhibit_mark_withdrawal', 'drop table exhibit_mark']);
  }
}
