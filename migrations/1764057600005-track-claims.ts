import type { MigrationInterface, QueryRunner } from 'typeorm';
import { each, wall } from './wall.js';

/** Claims, their chained events, assessments, decisions, questions and settlements. */
export class TrackClaims1764057600005 implements MigrationInterface {
  name = 'TrackClaims1764057600005';

  async up(run: QueryRunner): Promise<void> {
    await run.query(`set local lock_timeout = '5s'`);
    await each(run, [
      `create table claim (
         id uuid constraint claim_pkey primary key,
         tenant_id uuid not null constraint claim_tenant_id_fkey references tenant (id),
         retailer_id uuid not null,
         visit_id uuid not null,
         unit_id uuid not null,
         inspection_id uuid,
         number char(9),
         state text not null,
         ground text not null,
         return_reason text,
         wish text,
         words text,
         failed_repairs integer not null default 0,
         supplied jsonb not null default '{}',
         noticed_at timestamptz not null,
         notice_to_carrier_at timestamptz,
         currency char(3) not null,
         filed_by text,
         filed_at timestamptz,
         proposed_at timestamptz,
         decided_at timestamptz,
         settled_at timestamptz,
         closed_at timestamptz,
         withdrawn_at timestamptz,
         due_at timestamptz,
         due_clock text,
         assessment_id uuid,
         decision_id uuid,
         version integer not null default 1,
         created_by text not null,
         created_at timestamptz not null default now(),
         updated_at timestamptz not null default now(),
         constraint claim_tenant_id_id_key unique (tenant_id, id),
         constraint claim_tenant_id_number_key unique (tenant_id, number),
         constraint claim_tenant_id_retailer_id_fkey foreign key (tenant_id, retailer_id) references retailer (tenant_id, id),
         constraint claim_tenant_id_visit_id_fkey foreign key (tenant_id, visit_id) references visit (tenant_id, id),
         constraint claim_tenant_id_unit_id_fkey foreign key (tenant_id, unit_id) references visit_unit (tenant_id, id),
         constraint claim_tenant_id_inspection_id_fkey foreign key (tenant_id, inspection_id) references inspection (tenant_id, id),
         constraint claim_state_check check (state in ('draft', 'filed', 'assessing', 'needs information', 'proposed', 'decided',
           'settling', 'settled', 'closed', 'withdrawn')),
         constraint claim_ground_check check (ground in ('damage', 'dead on arrival', 'shortage', 'warranty', 'return')),
         constraint claim_return_reason_check check ((ground = 'return') = (return_reason is not null)),
         constraint claim_wish_check check (wish in ('refund', 'allowance', 'part', 'unit', 'visit', 'none')),
         constraint claim_number_check check ((number is null) = (filed_at is null)),
         constraint claim_failed_repairs_check check (failed_repairs between 0 and 20))`,
      `create unique index claim_one_open_per_unit_idx on claim (tenant_id, unit_id) where state not in ('closed', 'withdrawn')`,
      `create index claim_tenant_id_state_due_at_idx on claim (tenant_id, state, due_at, id)`,
      `create index claim_tenant_id_updated_at_idx on claim (tenant_id, updated_at, id)`,
      `create index claim_tenant_id_retailer_id_updated_at_idx on claim (tenant_id, retailer_id, updated_at, id)`,
      `create table claim_event (
         tenant_id uuid not null,
         claim_id uuid not null,
         n integer not null,
         kind text not null,
         at timestamptz not null,
         actor jsonb not null,
         body jsonb not null,
         previous_hash char(64) not null,
         hash char(64) not null,
         constraint claim_event_pkey primary key (claim_id, n),
         constraint claim_event_tenant_id_claim_id_fkey foreign key (tenant_id, claim_id) references claim (tenant_id, id),
         constraint claim_event_n_check check (n > 0))`,
      `create trigger claim_event_fixed before update or delete on claim_event for each row execute function refuse_change()`,
      `create table claim_assessment (
         id uuid constraint claim_assessment_pkey primary key default gen_random_uuid(),
         tenant_id uuid not null,
         claim_id uuid not null,
         facts jsonb not null,
         facts_hash char(64) not null,
         assessment jsonb not null,
         made_at timestamptz not null,
         constraint claim_assessment_tenant_id_id_key unique (tenant_id, id),
         constraint claim_assessment_tenant_id_claim_id_fkey foreign key (tenant_id, claim_id) references claim (tenant_id, id))`,
      `create index claim_assessment_claim_id_idx on claim_assessment (claim_id, made_at)`,
      `create trigger claim_assessment_fixed before update or delete on claim_assessment
         for each row execute function refuse_change()`,
      `create table claim_decision (
         id uuid constraint claim_decision_pkey primary key default gen_random_uuid(),
         tenant_id uuid not null,
         claim_id uuid not null,
         n integer not null,
         assessment_id uuid not null,
         outcome text not null,
         state text not null,
         body jsonb not null,
         total_minor bigint not null,
         reason_code text,
         words text,
         decided_by uuid not null,
         decided_at timestamptz not null,
         confirmed_by uuid,
         confirmed_at timestamptz,
         constraint claim_decision_claim_id_n_key unique (claim_id, n),
         constraint claim_decision_tenant_id_id_key unique (tenant_id, id),
         constraint claim_decision_tenant_id_claim_id_fkey foreign key (tenant_id, claim_id) references claim (tenant_id, id),
         constraint claim_decision_tenant_id_assessment_id_fkey
           foreign key (tenant_id, assessment_id) references claim_assessment (tenant_id, id),
         constraint claim_decision_outcome_check check (outcome in ('approved', 'approved in part', 'declined')),
         constraint claim_decision_state_check check (state in ('awaiting second person', 'standing', 'sent back', 'superseded')),
         constraint claim_decision_total_minor_check check (total_minor >= 0),
         constraint claim_decision_second_person_check check (confirmed_by is null or confirmed_by <> decided_by))`,
      `create table information_request (
         id uuid constraint information_request_pkey primary key default gen_random_uuid(),
         tenant_id uuid not null,
         claim_id uuid not null,
         asked text not null,
         of_party text not null,
         asked_by text not null,
         asked_at timestamptz not null,
         answer text,
         answered_by text,
         answered_at timestamptz,
         constraint information_request_tenant_id_claim_id_fkey foreign key (tenant_id, claim_id) references claim (tenant_id, id),
         constraint information_request_of_party_check check (of_party in ('crew', 'retailer', 'maker', 'carrier', 'customer')),
         constraint information_request_answer_check check ((answer is null) = (answered_at is null)))`,
      `create index information_request_claim_id_idx on information_request (claim_id, asked_at)`,
      `create table settlement (
         id uuid constraint settlement_pkey primary key default gen_random_uuid(),
         tenant_id uuid not null,
         claim_id uuid not null,
         decision_id uuid not null,
         amount_minor bigint not null,
         currency char(3) not null,
         reference text not null,
         settled_by text not null,
         settled_at timestamptz not null,
         constraint settlement_decision_id_key unique (decision_id),
         constraint settlement_tenant_id_claim_id_fkey foreign key (tenant_id, claim_id) references claim (tenant_id, id),
         constraint settlement_tenant_id_decision_id_fkey foreign key (tenant_id, decision_id) references claim_decision (tenant_id, id),
         constraint settlement_amount_minor_check check (amount_minor >= 0))`,
    ]);
    const through = { visit: 'visit_id', retailer: 'retailer_id' };
    await wall(run, 'claim', through);
    for (const table of ['claim_event', 'claim_assessment', 'claim_decision', 'information_request', 'settlement']) {
      const grants =
        table === 'claim_event' || table === 'claim_assessment' ? 'select, insert' : 'select, insert, update';
      await wall(run, table, { grants });
      // A retailer's session or a visit link reaches a row of a claim only where it sees the claim itself.
      await run.query(`create policy ${table}_scope on ${table} as restrictive
        using (coalesce(current_setting('app.retailer', true), '') = '' and coalesce(current_setting('app.visit', true), '') = ''
          or exists (select 1 from claim seen where seen.id = ${table}.claim_id))`);
    }
  }

  async down(run: QueryRunner): Promise<void> {
    const tables = 'settlement information_request claim_decision claim_assessment claim_event claim'.split(' ');
    await each(
      run,
      tables.map((table) => `drop table ${table}`),
    );
  }
}
