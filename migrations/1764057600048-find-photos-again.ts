import type { MigrationInterface, QueryRunner } from 'typeorm';
import { each, wall } from './wall.js';

/** What photos look like, which of them look alike, and what analysts say to that. Pairs and opinions are never changed. */
export class FindPhotosAgain1764057600048 implements MigrationInterface {
  name = 'FindPhotosAgain1764057600048';

  async up(run: QueryRunner): Promise<void> {
    await run.query(`set local lock_timeout = '5s'`);
    await each(run, [
      `create table exhibit_fingerprint (
         no bigint generated always as identity constraint exhibit_fingerprint_pkey primary key,
         tenant_id uuid not null,
         visit_id uuid not null,
         exhibit_id uuid not null,
         part text not null,
         pdq bytea not null,
         turned bytea,
         quality integer not null,
         constraint exhibit_fingerprint_exhibit_id_part_key unique (exhibit_id, part),
         constraint exhibit_fingerprint_tenant_id_exhibit_id_fkey
           foreign key (tenant_id, exhibit_id) references exhibit (tenant_id, id),
         constraint exhibit_fingerprint_part_check check (part in ('whole', 'inside')),
         constraint exhibit_fingerprint_pdq_check check (length(pdq) = 32),
         constraint exhibit_fingerprint_turned_check check ((part = 'whole') = (turned is not null) and length(turned) = 256),
         constraint exhibit_fingerprint_quality_check check (quality between 0 and 100))`,
      `create index exhibit_fingerprint_tenant_id_no_idx on exhibit_fingerprint (tenant_id, no)`,
      `create table exhibit_features (
         exhibit_id uuid constraint exhibit_features_pkey primary key,
         tenant_id uuid not null,
         visit_id uuid not null,
         content bytea not null,
         made_at timestamptz not null,
         constraint exhibit_features_tenant_id_exhibit_id_fkey
           foreign key (tenant_id, exhibit_id) references exhibit (tenant_id, id))`,
      `create table photo_comparison (
         exhibit_id uuid constraint photo_comparison_pkey primary key,
         tenant_id uuid not null,
         visit_id uuid not null,
         compared_at timestamptz not null,
         fingerprints bigint not null,
         closely integer not null,
         left_off integer not null,
         untested integer not null,
         says text,
         constraint photo_comparison_tenant_id_exhibit_id_fkey
           foreign key (tenant_id, exhibit_id) references exhibit (tenant_id, id))`,
      `create table photo_pair (
         id uuid constraint photo_pair_pkey primary key,
         tenant_id uuid not null,
         visit_id uuid not null,
         exhibit_id uuid not null,
         earlier_id uuid not null,
         found_at timestamptz not null,
         band text not null,
         found_by text not null,
         distance integer,
         turn text,
         matches integer,
         inliers integer,
         move jsonb,
         same_shot boolean not null,
         constraint photo_pair_tenant_id_id_key unique (tenant_id, id),
         constraint photo_pair_exhibit_id_earlier_id_key unique (exhibit_id, earlier_id),
         constraint photo_pair_tenant_id_exhibit_id_fkey foreign key (tenant_id, exhibit_id) references exhibit (tenant_id, id),
         constraint photo_pair_tenant_id_earlier_id_fkey foreign key (tenant_id, earlier_id) references exhibit (tenant_id, id),
         constraint photo_pair_two_check check (exhibit_id <> earlier_id),
         constraint photo_pair_band_check check (band in ('same picture', 'probable', 'check')),
         constraint photo_pair_found_by_check
           check (found_by in ('same bytes', 'fingerprint', 'picture inside', 'local features')),
         constraint photo_pair_distance_check check (distance between 0 and 256))`,
      `create index photo_pair_earlier_id_idx on photo_pair (earlier_id)`,
      `create table photo_pair_opinion (
         id bigint generated always as identity constraint photo_pair_opinion_pkey primary key,
         tenant_id uuid not null,
         visit_id uuid not null,
         pair_id uuid not null,
         opinion text not null,
         words text not null,
         given_at timestamptz not null,
         given_by jsonb not null,
         constraint photo_pair_opinion_tenant_id_pair_id_fkey foreign key (tenant_id, pair_id) references photo_pair (tenant_id, id),
         constraint photo_pair_opinion_opinion_check check (opinion in ('same thing', 'different thing')),
         constraint photo_pair_opinion_words_check check (length(words) between 1 and 2000))`,
      `create index photo_pair_opinion_pair_id_idx on photo_pair_opinion (pair_id)`,
    ]);
    for (const table of ['photo_pair', 'photo_pair_opinion']) {
      await run.query(
        `create trigger ${table}_fixed before update or delete on ${table} for each row execute function refuse_change()`,
      );
    }
    for (const table of ['exhibit_fingerprint', 'photo_comparison', 'photo_pair', 'photo_pair_opinion']) {
      await wall(run, table, { visit: 'visit_id', throughVisit: 'visit_id', grants: 'select, insert' });
    }
    await wall(run, 'exhibit_features', {
      visit: 'visit_id',
      throughVisit: 'visit_id',
      grants: 'select, insert, delete',
    });
  }

  async down(run: QueryRunner): Promise<void> {
    const tables = ['photo_pair_opinion', 'photo_pair', 'photo_comparison', 'exhibit_features', 'exhibit_fingerprint'];
    await each(
      run,
      tables.map((table) => `drop table ${table}`),
    );
  }
}
