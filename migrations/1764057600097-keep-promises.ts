import type { MigrationInterface, QueryRunner } from 'typeorm';
import { each } from './wall.js';

/**
 * By when a retailer may expect the next step is kept beside the nearest deadline of any kind: the last day of a suit against a carrier
 * is none of its business. Open claims get theirs by the next look at their clocks, which is made due: only the rules tell a hazard's clock
 * from a promise.
 */
export class KeepPromises1764057600097 implements MigrationInterface {
  name = 'KeepPromises1764057600097';

  async up(run: QueryRunner): Promise<void> {
    await run.query(`set local lock_timeout = '5s'`);
    await each(run, [
      'alter table claim add column promised_at timestamptz',
      `update claim_clock set next_at = least(next_at, now()) where state = 'running' and next_at is not null`,
    ]);
  }

  async down(run: QueryRunner): Promise<void> {
    await each(run, ['alter table claim drop column promised_at']);
  }
}
