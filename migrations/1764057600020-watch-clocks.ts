import type { MigrationInterface, QueryRunner } from 'typeorm';
import { each, wall } from './wall.js';

/** Clocks of claims with what was raised of them, and what happened to a claim outside its own steps. */
export class WatchClocks1764057600020 implements MigrationInterface {
  name = 'WatchClocks1764057600020';

  async up(run: QueryRunner): Promise<void> {
    await run.query(`set local lock_timeout = '5s'`);
    await each(run, [
      `create table claim_clock (
         id uuid constraint claim_clock_pkey primary key,
         tenant_id uuid not null,
         claim_id uuid not null,
         clock_id text not null,
         occurrence integer not null,
         title text not null,
         ground text not null,
         source text not null,
         owed_by text not null,
         lapse text not null,
         effect text not null,
         state text not null,
         started_at timestamptz,
         paused_at timestamptz,
         stopped_at timestamptz,
         last_day date,
         ends_at timestamptz,
         warns_at timestamptz[] not null,
         warned_at timestamptz[] not null default '{}',
         missed_at timestamptz,
         next_at timestamptz,
         updated_at timestamptz not null,
         constraint claim_clock_claim_id_clock_id_occurrence_key unique (claim_id, clock_id, occurrence),
         constraint claim_clock_tenant_id_claim_id_fkey foreign key (tenant_id, claim_id) references claim (tenant_id, id),
         constraint claim_clock_state_check check (state in ('not started', 'running', 'met', 'missed', 'ended')),
         constraint claim_clock_lapse_check check (lapse in ('barred', 'burden shifts', 'breach', 'internal')),
         constraint claim_clock_occurrence_check check (occurrence > 0),
         constraint claim_clock_next_check check (next_at is null or state in ('running', 'missed')))`,
      `create index claim_clock_next_at_idx on claim_clock (next_at) where next_at is not null`,
      `create index claim_clock_tenant_id_ends_at_idx on claim_clock (tenant_id, ends_at, id) where state in ('running', 'missed')`,
      `create table claim_happening (
         tenant_id uuid not null,
         claim_id uuid not null,
         n integer not null,
         what text not null,
         at timestamptz not null,
         words text,
         noted_by text not null,
         noted_at timestamptz not null,
         constraint claim_happening_pkey primary key (claim_id, n),
         constraint claim_happening_tenant_id_claim_id_fkey foreign key (tenant_id, claim_id) references claim (tenant_id, id),
         constraint claim_happening_n_check check (n > 0))`,
      `create trigger claim_happening_fixed before update or delete on claim_happening
         for each row execute function refuse_change()`,
    ]);
    await wall(run, 'claim_clock', { grants: 'select, insert, update' });
    await wall(run, 'claim_happening', { grants: 'select, insert' });
    for (const table of ['claim_clock', 'claim_happening']) {
      // A retailer's session or a visit link reaches a row of a claim only where it sees the claim itself.
      await run.query(`create policy ${table}_scope on ${table} as restrictive
        using (coalesce(current_setting('app.retailer', true), '') = '' and coalesce(current_setting('app.visit', true), '') = ''
          or exists (select 1 from claim seen where seen.id = ${table}.claim_id))`);
    }
    // The watch looks across tenants for clocks that want something, and only for those; whatever it then does is done in their tenant.
    await run.query(`create policy claim_clock_watch on claim_clock for select
      using (coalesce(current_setting('app.tenant', true), '') = '' and next_at is not null
        and current_setting('app.credential', true) = 'watch:clocks')`);
  }

  async down(run: QueryRunner): Promise<void> {
    await each(run, ['drop table claim_happening', 'drop table claim_clock']);
  }
}
