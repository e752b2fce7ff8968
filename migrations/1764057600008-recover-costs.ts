import type { MigrationInterface, QueryRunner } from 'typeorm';
import { each, wall } from './wall.js';

/** What is demanded of the parties that answer, what came of it, and every act on it. */
export class RecoverCosts1764057600008 implements MigrationInterface {
  name = 'RecoverCosts1764057600008';

  async up(run: QueryRunner): Promise<void> {
    await run.query(`set local lock_timeout = '5s'`);
    await each(run, [
      `create table recovery (
         id uuid constraint recovery_pkey primary key,
         tenant_id uuid not null,
         claim_id uuid not null,
         decision_id uuid not null,
         party text not null,
         party_name text not null,
         state text not null,
         currency char(3) not null,
         demand jsonb not null,
         needs jsonb not null default '[]',
         particulars jsonb not null default '{}',
         demanded_minor bigint not null,
         booked_minor bigint not null default 0,
         offered_minor bigint,
         paid_minor bigint not null default 0,
         salvage_minor bigint not null default 0,
         written_off_minor bigint not null default 0,
         their_reference text,
         sent_at timestamptz,
         acknowledged_at timestamptz,
         answered_at timestamptz,
         version integer not null default 1,
         created_at timestamptz not null,
         updated_at timestamptz not null,
         constraint recovery_tenant_id_id_key unique (tenant_id, id),
         constraint recovery_claim_id_party_key unique (claim_id, party),
         constraint recovery_tenant_id_claim_id_fkey foreign key (tenant_id, claim_id) references claim (tenant_id, id),
         constraint recovery_tenant_id_decision_id_fkey foreign key (tenant_id, decision_id) references claim_decision (tenant_id, id),
         constraint recovery_party_check check (party in ('maker', 'seller', 'carrier', 'crew')),
         constraint recovery_state_check check (state in ('open', 'sent', 'acknowledged', 'offered', 'paid in part', 'paid',
           'declined', 'written off', 'withdrawn')),
         constraint recovery_sent_check check ((state in ('open', 'withdrawn')) or sent_at is not null),
         constraint recovery_amounts_check check (demanded_minor >= 0 and booked_minor >= 0 and coalesce(offered_minor, 0) >= 0
           and paid_minor >= 0 and salvage_minor >= 0 and written_off_minor >= 0))`,
      `create index recovery_tenant_id_state_idx on recovery (tenant_id, state, created_at, id)`,
      `create index recovery_tenant_id_party_idx on recovery (tenant_id, party, sent_at)`,
      `create table recovery_event (
         tenant_id uuid not null,
         recovery_id uuid not null,
         n integer not null,
         kind text not null,
         at timestamptz not null,
         actor jsonb not null,
         body jsonb not null,
         previous_hash char(64) not null,
         hash char(64) not null,
         constraint recovery_event_pkey primary key (recovery_id, n),
         constraint recovery_event_tenant_id_recovery_id_fkey foreign key (tenant_id, recovery_id) references recovery (tenant_id, id),
         constraint recovery_event_n_check check (n > 0))`,
      `create trigger recovery_event_fixed before update or delete on recovery_event
         for each row execute function refuse_change()`,
    ]);
    await wall(run, 'recovery', { grants: 'select, insert, update' });
    await wall(run, 'recovery_event', { grants: 'select, insert' });
    for (const table of ['recovery', 'recovery_event']) {
      await run.query(`create policy ${table}_scope on ${table} as restrictive
        using (coalesce(current_setting('app.retailer', true), '') = '' and coalesce(current_setting('app.visit', true), '') = '')`);
    }
  }

  async down(run: QueryRunner): Promise<void> {
    await each(run, ['drop table recovery_event', 'drop table recovery']);
  }
}
