import type { MigrationInterface, QueryRunner } from 'typeorm';
import { each, wall } from './wall.js';

/** Product models with their component trees and warranty terms. */
export class KeepCatalogue1764057600001 implements MigrationInterface {
  name = 'KeepCatalogue1764057600001';

  async up(run: QueryRunner): Promise<void> {
    await run.query(`set local lock_timeout = '5s'`);
    await each(run, [
      `create table model (
         id uuid constraint model_pkey primary key default gen_random_uuid(),
         tenant_id uuid not null constraint model_tenant_id_fkey references tenant (id),
         sku text not null,
         title text not null,
         family text not null,
         maker text not null,
         gross_grams integer not null,
         net_grams integer not null,
         serial_pattern text not null,
         currency char(3) not null,
         unit_cost_minor bigint not null,
         unit_freight_minor bigint not null,
         visit_cost_minor bigint not null,
         salvage_bp integer not null,
         checklist text not null,
         evidence_model text not null,
         version integer not null default 1,
         created_at timestamptz not null default now(),
         updated_at timestamptz not null default now(),
         constraint model_tenant_id_id_key unique (tenant_id, id),
         constraint model_tenant_id_sku_key unique (tenant_id, sku),
         constraint model_family_check check (family in ('powered bed base', 'height-adjustable desk', 'lift chair')),
         constraint model_mass_check check (net_grams > 0 and gross_grams >= net_grams),
         constraint model_amounts_check check (
           unit_cost_minor >= 0 and unit_freight_minor >= 0 and visit_cost_minor >= 0 and salvage_bp between 0 and 10000))`,
      `create table model_part (
         tenant_id uuid not null,
         model_id uuid not null,
         number text not null,
         position integer not null,
         title text not null,
         component text not null,
         parent text,
         pieces integer not null,
         price_minor bigint not null,
         freight_minor bigint not null,
         mass_grams integer not null,
         customer_fits boolean not null,
         fails_again_bp integer not null,
         in_stock boolean,
         is_spare boolean not null,
         constraint model_part_pkey primary key (model_id, number),
         constraint model_part_tenant_id_model_id_fkey foreign key (tenant_id, model_id) references model (tenant_id, id) on delete cascade,
         constraint model_part_parent_fkey foreign key (model_id, parent) references model_part (model_id, number) deferrable initially deferred,
         constraint model_part_component_check check (component in ('carton', 'frame', 'leg', 'motor', 'electronics')),
         constraint model_part_amounts_check check (
           pieces >= 0 and price_minor >= 0 and freight_minor >= 0 and mass_grams >= 0 and fails_again_bp between 0 and 10000))`,
      `create unique index model_part_spare_idx on model_part (model_id, component) where is_spare`,
      `create table model_warranty (
         tenant_id uuid not null,
         model_id uuid not null,
         component text not null,
         full_months integer not null,
         pro_rata_months integer not null,
         constraint model_warranty_pkey primary key (model_id, component),
         constraint model_warranty_tenant_id_model_id_fkey foreign key (tenant_id, model_id) references model (tenant_id, id) on delete cascade,
         constraint model_warranty_component_check check (component in ('carton', 'frame', 'leg', 'motor', 'electronics')),
         constraint model_warranty_months_check check (full_months between 0 and 600 and pro_rata_months between 0 and 600))`,
    ]);
    await wall(run, 'model');
    await wall(run, 'model_part');
    await wall(run, 'model_warranty');
  }

  async down(run: QueryRunner): Promise<void> {
    await each(run, ['drop table model_warranty', 'drop table model_part', 'drop table model']);
  }
}
