import type { MigrationInterface, QueryRunner } from 'typeorm';
import { each, wall } from './wall.js';

/** Views of the queue that people name and keep for themselves. */
export class KeepDeskViews1764057600075 implements MigrationInterface {
  name = 'KeepDeskViews1764057600075';

  async up(run: QueryRunner): Promise<void> {
    await run.query(`set local lock_timeout = '5s'`);
    await each(run, [
      `create table desk_view (
         id uuid constraint desk_view_pkey primary key,
         tenant_id uuid not null,
         person_id uuid not null,
         name text not null,
         view text not null,
         find text not null,
         ground text not null,
         kept_at timestamptz not null,
         constraint desk_view_tenant_id_person_id_name_key unique (tenant_id, person_id, name),
         constraint desk_view_name_check check (char_length(name) between 1 and 60))`,
    ]);
    await wall(run, 'desk_view', { grants: 'select, insert, delete' });
  }

  async down(run: QueryRunner): Promise<void> {
    await run.query('drop table desk_view');
  }
}
