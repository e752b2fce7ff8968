import type { MigrationInterface, QueryRunner } from 'typeorm';
import { each, wall } from './wall.js';

/** The double-entry ledger: transfers and their postings, added and never changed, summing to zero or not there at all. */
export class KeepLedger1764057600007 implements MigrationInterface {
  name = 'KeepLedger1764057600007';

  async up(run: QueryRunner): Promise<void> {
    await run.query(`set local lock_timeout = '5s'`);
    await each(run, [
      `create table transfer (
         id uuid constraint transfer_pkey primary key,
         tenant_id uuid not null,
         claim_id uuid not null,
         reason text not null,
         source text not null,
         currency char(3) not null,
         postings integer not null,
         booked_by text not null,
         booked_at timestamptz not null,
         constraint transfer_tenant_id_source_key unique (tenant_id, source),
         constraint transfer_tenant_id_id_claim_id_currency_key unique (tenant_id, id, claim_id, currency),
         constraint transfer_tenant_id_claim_id_fkey foreign key (tenant_id, claim_id) references claim (tenant_id, id),
         constraint transfer_postings_check check (postings >= 2),
         constraint transfer_currency_check check (currency ~ '^[A-Z]{3}$'),
         constraint transfer_reason_check check (reason in ('decision', 'decision reversed', 'settlement', 'demand', 'payment',
           'salvage', 'write-off')))`,
      `create index transfer_claim_id_idx on transfer (claim_id, booked_at)`,
      `create table posting (
         transfer_id uuid not null,
         n integer not null,
         tenant_id uuid not null,
         claim_id uuid not null,
         currency char(3) not null,
         account text not null,
         amount_minor bigint not null,
         constraint posting_pkey primary key (transfer_id, n),
         constraint posting_transfer_fkey foreign key (tenant_id, transfer_id, claim_id, currency)
           references transfer (tenant_id, id, claim_id, currency),
         constraint posting_account_check check (account in ('party:maker', 'party:seller', 'party:carrier', 'party:crew',
           'party:customer', 'customer', 'bank', 'supply', 'salvage', 'loss')),
         constraint posting_amount_minor_check check (
           amount_minor <> 0 and amount_minor between -9007199254740991 and 9007199254740991))`,
      `create index posting_claim_id_account_idx on posting (claim_id, account)`,
      `create index posting_tenant_id_account_idx on posting (tenant_id, account)`,
      // Looked at when the transaction ends: all postings of the transfer are there, and debits equal credits. The foreign key of a
      // posting carries claim and currency, so the sum is of one claim in one currency.
      `create function refuse_unbalanced() returns trigger language plpgsql as $$
       declare
         moved uuid := coalesce(to_jsonb(new) ->> 'transfer_id', to_jsonb(new) ->> 'id')::uuid;
         wanted integer;
         found integer;
         total numeric;
       begin
         select t.postings into wanted from transfer t where t.id = moved;
         select count(*), coalesce(sum(p.amount_minor), 0) into found, total from posting p where p.transfer_id = moved;
         if wanted is null or found <> wanted or total <> 0 then
           raise exception 'a transfer of % postings has % that sum to %', wanted, found, total
             using errcode = 'check_violation', constraint = 'transfer_balanced';
         end if;
         return null;
       end $$`,
      `create constraint trigger transfer_balanced after insert on transfer deferrable initially deferred
         for each row execute function refuse_unbalanced()`,
      `create constraint trigger posting_balanced after insert on posting deferrable initially deferred
         for each row execute function refuse_unbalanced()`,
    ]);
    for (const table of ['transfer', 'posting']) {
      await each(run, [
        `create trigger ${table}_fixed before update or delete on ${table} for each row execute function refuse_change()`,
        `create trigger ${table}_kept before truncate on ${table} for each statement execute function refuse_change()`,
      ]);
      await wall(run, table, { grants: 'select, insert' });
      // Who owes whom is for the desk: a retailer's session or a visit link sees none of it.
      await run.query(`create policy ${table}_scope on ${table} as restrictive
        using (coalesce(current_setting('app.retailer', true), '') = '' and coalesce(current_setting('app.visit', true), '') = '')`);
    }
  }

  async down(run: QueryRunner): Promise<void> {
    await each(run, ['drop table posting', 'drop table transfer', 'drop function refuse_unbalanced()']);
  }
}
