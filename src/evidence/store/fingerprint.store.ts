import { Injectable } from '@nestjs/common';
import type { EntityManager } from 'typeorm';
import type { Neighbour } from '../domain/fingerprint-index.js';
import { USABLE_QUALITY } from '../domain/fingerprint.js';
import type { PhotoFingerprint } from '../domain/photo-fingerprint.js';
import type { ExhibitRow } from './exhibit.entity.js';

/** A run of usable fingerprints in the order of their numbers. */
export interface FingerprintRun {
  readonly numbers: readonly number[];
  /** 32 bytes each, one after another. */
  readonly fingerprints: Uint8Array;
}

/** What a photo is asked for by: as it is and turned, and the picture inside it. */
export interface FingerprintQueries {
  /** Up to nine of 32 bytes: the eight turns in the order of `TURNS`, then the picture inside. */
  readonly queries: readonly Uint8Array[];
  readonly quality: number;
}

/** Fingerprints in PostgreSQL, where they are kept; everything in memory is made from here. */
@Injectable()
export class FingerprintStore {
  /**
   * Adds what a photo looks like, once. Numbers rise in the order of commits within a tenant, because writers of one tenant wait for
   * each other here: whoever reads on from the last number misses nothing.
   */
  async add(tx: EntityManager, row: ExhibitRow, { hex, quality, turned, box }: PhotoFingerprint): Promise<void> {
    await tx.query('select pg_advisory_xact_lock(hashtextextended($1, 0))', [`fingerprints of ${row.tenantId}`]);
    const own = [row.tenantId, row.visitId, row.id];
    const insert = `insert into exhibit_fingerprint (tenant_id, visit_id, exhibit_id, part, pdq, turned, quality)
      values ($1, $2, $3, $4, $5, $6, $7) on conflict (exhibit_id, part) do nothing`;
    await tx.query(insert, [...own, 'whole', Buffer.from(hex, 'hex'), Buffer.from(turned.join(''), 'hex'), quality]);
    if (box) await tx.query(insert, [...own, 'inside', Buffer.from(box.hex, 'hex'), null, box.quality]);
  }

  /** @returns undefined for a photo without a fingerprint */
  async queriesOf(tx: EntityManager, tenant: string, exhibitId: string): Promise<FingerprintQueries | undefined> {
    const rows = await tx.query<{ part: string; pdq: Buffer; turned: Buffer | null; quality: number }[]>(
      'select part, pdq, turned, quality from exhibit_fingerprint where tenant_id = $1 and exhibit_id = $2',
      [tenant, exhibitId],
    );
    const whole = rows.find(({ part }) => part === 'whole');
    if (!whole?.turned) return undefined;
    const { turned, quality } = whole;
    const inside = rows.filter(({ part }) => part === 'inside').map(({ pdq }) => pdq);
    const turns = Array.from({ length: turned.length / 32 }, (_each, at) => turned.subarray(at * 32, at * 32 + 32));
    return { queries: [...turns, ...inside].map((each) => Uint8Array.from(each)), quality };
  }

  /** How many of a tenant's fingerprints can be compared, counted up to `most`. */
  async count(tx: EntityManager, tenant: string, most: number): Promise<number> {
    const [row] = await tx.query<{ count: number }[]>(
      `select count(*)::float8 count
       from (select 1 from exhibit_fingerprint where tenant_id = $1 and quality >= $2 limit $3) f`,
      [tenant, USABLE_QUALITY, most],
    );
    return row?.count ?? 0;
  }

  /** The next usable fingerprints behind a number. */
  async runAfter(tx: EntityManager, tenant: string, no: number, most: number): Promise<FingerprintRun> {
    const [row] = await tx.query<{ numbers: string[] | null; fingerprints: Buffer | null }[]>(
      `select array_agg(f.no order by f.no) numbers, string_agg(f.pdq, ''::bytea order by f.no) fingerprints
       from (select no, pdq from exhibit_fingerprint
             where tenant_id = $1 and no > $2 and quality >= $3 order by no limit $4) f`,
      [tenant, no, USABLE_QUALITY, most],
    );
    return { numbers: (row?.numbers ?? []).map(Number), fingerprints: row?.fingerprints ?? new Uint8Array() };
  }

  /** The same as the index in memory answers, by plain SQL: for tenants with few photos, and to check the index by. */
  async near(
    tx: EntityManager,
    tenant: string,
    queries: readonly Uint8Array[],
    { limit, most }: { readonly limit: number; readonly most: number },
  ): Promise<Neighbour[]> {
    return tx.query<Neighbour[]>(
      `select f.no::float8 no, d.distance, d.query from exhibit_fingerprint f
       cross join lateral (
         select bit_count(('x' || encode(f.pdq, 'hex'))::bit(256) # ('x' || q.hex)::bit(256))::integer distance,
           (q.at - 1)::integer query
         from unnest($2::text[]) with ordinality q (hex, at) order by 1, 2 limit 1) d
       where f.tenant_id = $1 and f.quality >= $3 and d.distance <= $4
       order by d.distance, f.no limit $5`,
      [tenant, queries.map((query) => Buffer.from(query).toString('hex')), USABLE_QUALITY, limit, most],
    );
  }
}
