import type { MigrationInterface, QueryRunner } from 'typeorm';
import { each } from './wall.js';

/** The day from which a published evidence model is taken; without one from its publication on. */
export class BeginModels1764057600095 implements MigrationInterface {
  name = 'BeginModels1764057600095';

  async up(run: QueryRunner): Promise<void> {
    await run.query(`set local lock_timeout = '5s'`);
    await each(run, [
      `alter table evidence_model_version
         add column effective_from date,
         add constraint evidence_model_version_begins_check check (effective_from is null or published_at is not null)`,
    ]);
  }

  async down(run: QueryRunner): Promise<void> {
    await run.query('alter table evidence_model_version drop column effective_from');
  }
}
