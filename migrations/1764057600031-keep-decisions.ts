import type { MigrationInterface, QueryRunner } from 'typeorm';
import { each, wall } from './wall.js';

/** A record of every judgement of a claim by a policy: the facts, what came of them and how, byte for byte, never changed. */
export class KeepDecisions1764057600031 implements MigrationInterface {
  name = 'KeepDecisions1764057600031';

  async up(run: QueryRunner): Promise<void> {
    await run.query(`set local lock_timeout = '5s'`);
    await each(run, [
      `create table decision_record (
         id uuid constraint decision_record_pkey primary key,
         tenant_id uuid not null,
         claim_id uuid not null,
         n integer not null,
         assessment_id uuid not null,
         jurisdiction text not null,
         governed_on date not null,
         policy_version_id uuid not null,
         policy_code text not null,
         policy_version integer not null,
         policy_hash char(64) not null,
         policy_jurisdiction text not null,
         semantics integer not null,
         facts text not null,
         facts_hash char(64) not null,
         outcome text not null,
         outcome_hash char(64) not null,
         trace bytea not null,
         trace_hash char(64) not null,
         actor text not null,
         made_at timestamptz not null,
         hash char(64) not null,
         constraint decision_record_tenant_id_id_key unique (tenant_id, id),
         constraint decision_record_claim_id_n_key unique (claim_id, n),
         constraint decision_record_assessment_id_key unique (assessment_id),
         constraint decision_record_n_check check (n > 0),
         constraint decision_record_semantics_check check (semantics > 0),
         constraint decision_record_tenant_id_claim_id_fkey foreign key (tenant_id, claim_id) references claim (tenant_id, id),
         constraint decision_record_tenant_id_assessment_id_fkey
           foreign key (tenant_id, assessment_id) references claim_assessment (tenant_id, id),
         constraint decision_record_tenant_id_policy_version_id_fkey
           foreign key (tenant_id, policy_version_id) references policy_version (tenant_id, id))`,
      `create index decision_record_tenant_id_made_at_idx on decision_record
         (tenant_id, made_at, id) include (claim_id, n, jurisdiction, policy_jurisdiction)`,
      `create trigger decision_record_fixed before update or delete on decision_record
         for each row execute function refuse_change()`,
    ]);
    await wall(run, 'decision_record', { grants: 'select, insert' });
    // A retailer's session or a visit link reaches a row of a claim only where it sees the claim itself.
    await run.query(`create policy decision_record_scope on decision_record as restrictive
      using (coalesce(current_setting('app.retailer', true), '') = '' and coalesce(current_setting('app.visit', true), '') = ''
        or exists (select 1 from claim seen where seen.id = decision_record.claim_id))`);
  }

  async down(run: QueryRunner): Promise<void> {
    await run.query('drop table decision_record');
  }
}
