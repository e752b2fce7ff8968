import type { MigrationInterface, QueryRunner } from 'typeorm';

/** Retailers keep keys of their own: a session that is bound to one sees and writes only the keys that are bound to it, too. */
export class WallKeys1764057600082 implements MigrationInterface {
  name = 'WallKeys1764057600082';

  async up(run: QueryRunner): Promise<void> {
    await run.query(`set local lock_timeout = '5s'`);
    const retailer = `nullif(current_setting('app.retailer', true), '')::uuid`;
    const own = `${retailer} is null or retailer_id = ${retailer}`;
    await run.query(`create policy api_key_company on api_key as restrictive using (${own}) with check (${own})`);
  }

  async down(run: QueryRunner): Promise<void> {
    await run.query('drop policy api_key_company on api_key');
  }
}
