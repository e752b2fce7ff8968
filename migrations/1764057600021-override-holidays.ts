import type { MigrationInterface, QueryRunner } from 'typeorm';
import { each, wall } from './wall.js';

/** A house's own word on public holidays, over the tables. */
export class OverrideHolidays1764057600021 implements MigrationInterface {
  name = 'OverrideHolidays1764057600021';

  async up(run: QueryRunner): Promise<void> {
    await run.query(`set local lock_timeout = '5s'`);
    await each(run, [
      `create table holiday_override (
         tenant_id uuid not null constraint holiday_override_tenant_id_fkey references tenant (id),
         country char(2) not null,
         region text not null,
         on_date date not null,
         kind text not null,
         is_holiday boolean not null,
         reason text not null,
         set_by text not null,
         set_at timestamptz not null,
         constraint holiday_override_pkey primary key (tenant_id, country, region, on_date, kind),
         constraint holiday_override_kind_check check (kind in ('day', 'whole year')),
         constraint holiday_override_whole_year_check check (kind = 'day' or extract(doy from on_date) = 1))`,
    ]);
    await wall(run, 'holiday_override');
  }

  async down(run: QueryRunner): Promise<void> {
    await each(run, ['drop table holiday_override']);
  }
}
