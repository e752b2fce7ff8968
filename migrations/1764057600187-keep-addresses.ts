import type { MigrationInterface, QueryRunner } from 'typeorm';
import { each, wall } from './wall.js';

/** Where a retailer wants goods and letters to go. A change is a new row: the old address says where a letter went. */
export class KeepAddresses1764057600187 implements MigrationInterface {
  name = 'KeepAddresses1764057600187';

  async up(run: QueryRunner): Promise<void> {
    await run.query(`set local lock_timeout = '5s'`);
    await each(run, [
      `create table retailer_address (
         id uuid constraint retailer_address_pkey primary key default gen_random_uuid(),
         tenant_id uuid not null,
         retailer_id uuid not null,
         kind text not null constraint retailer_address_kind_check check (kind in ('goods', 'letters')),
         lines text not null constraint retailer_address_lines_check check (char_length(lines) between 1 and 500),
         changed_by text not null,
         changed_at timestamptz not null,
         constraint retailer_address_tenant_id_retailer_id_fkey foreign key (tenant_id, retailer_id)
           references retailer (tenant_id, id))`,
      `create index retailer_address_newest_idx on retailer_address (tenant_id, retailer_id, kind, changed_at desc, id)`,
    ]);
    await wall(run, 'retailer_address', { retailer: 'retailer_id', grants: 'select, insert' });
  }

  async down(run: QueryRunner): Promise<void> {
    await run.query('drop table retailer_address');
  }
}
