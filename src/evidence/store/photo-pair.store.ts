import { randomUUID } from 'node:crypto';
import { Injectable } from '@nestjs/common';
import type { EntityManager } from 'typeorm';
import { Refused } from '../../platform/http/problems.js';
import type { FoundBy, ReuseBand } from '../domain/reuse-bands.js';
import type { Sender } from '../evidence.contract.js';
import type { ExhibitRow } from './exhibit.entity.js';

/** Two photos that look alike, as found. */
export interface FoundPair {
  readonly earlierId: string;
  readonly band: ReuseBand;
  readonly foundBy: FoundBy;
  readonly distance?: number;
  readonly turn?: string;
  readonly matches?: number;
  readonly inliers?: number;
  readonly move?: { readonly degrees: number; readonly factor: number };
  readonly sameShot: boolean;
}

/** One of the two photos. */
export interface PhotoOfPair {
  readonly id: string;
  readonly visitId: string;
  readonly inspectionId: string;
  readonly item: string;
  readonly shows: string;
  readonly receivedAt: string;
  readonly withdrawn: boolean;
  /** Numbers of the filed claims that rest on its inspection. */
  readonly claims: readonly { readonly id: string; readonly number: string }[];
}

export interface PairOpinion {
  readonly opinion: 'same thing' | 'different thing';
  readonly words: string;
  readonly givenAt: string;
  readonly givenBy: Sender;
}

/** A pair with both photos and what was said to it, oldest first. */
export interface StoredPair extends Omit<FoundPair, 'earlierId'> {
  readonly id: string;
  readonly foundAt: string;
  readonly later: PhotoOfPair;
  readonly earlier: PhotoOfPair;
  readonly opinions: readonly PairOpinion[];
}

const PHOTO = (
  e: string,
): string => `jsonb_build_object('id', ${e}.id, 'visitId', ${e}.visit_id, 'inspectionId', ${e}.inspection_id,
  'item', ${e}.item, 'shows', ${e}.shows, 'receivedAt', ${e}.received_at, 'withdrawn', ${e}.withdrawn_at is not null,
  'claims', coalesce((select jsonb_agg(jsonb_build_object('id', c.id, 'number', c.number) order by c.number) from claim c
    where c.tenant_id = ${e}.tenant_id and c.inspection_id = ${e}.inspection_id and c.filed_at is not null), '[]'))`;

const PAIR = `select jsonb_strip_nulls(jsonb_build_object('id', p.id, 'foundAt', p.found_at, 'band', p.band, 'foundBy', p.found_by,
    'distance', p.distance, 'turn', p.turn, 'matches', p.matches, 'inliers', p.inliers, 'move', p.move, 'sameShot', p.same_shot,
    'later', ${PHOTO('a')}, 'earlier', ${PHOTO('b')},
    'opinions', coalesce((select jsonb_agg(jsonb_build_object('opinion', o.opinion, 'words', o.words, 'givenAt', o.given_at,
      'givenBy', o.given_by) order by o.id) from photo_pair_opinion o where o.tenant_id = p.tenant_id and o.pair_id = p.id), '[]'))) pair
  from photo_pair p join exhibit a on a.id = p.exhibit_id join exhibit b on b.id = p.earlier_id`;

/** Pairs of photos that look alike, and what analysts said to them. Rows are only added. */
@Injectable()
export class PhotoPairStore {
  /** Adds a pair unless it is there. @param row the later photo */
  async add(tx: EntityManager, row: ExhibitRow, pair: FoundPair, at: string): Promise<void> {
    const { earlierId, band, foundBy, sameShot } = pair;
    await tx.query(
      `insert into photo_pair (id, tenant_id, visit_id, exhibit_id, earlier_id, found_at, band, found_by, distance, turn, matches,
         inliers, move, same_shot)
       values ($1, $2, $3, $4, $5, $6, $7, $8, $9, $10, $11, $12, $13, $14) on conflict (exhibit_id, earlier_id) do nothing`,
      [
        [randomUUID(), row.tenantId, row.visitId, row.id, earlierId, at, band, foundBy],
        [pair.distance ?? null, pair.turn ?? null, pair.matches ?? null, pair.inliers ?? null],
        [pair.move ? JSON.stringify(pair.move) : null, sameShot],
      ].flat(),
    );
  }

  /** Pairs that any of these photos belongs to: nearest first. */
  async ofPhotos(tx: EntityManager, tenant: string, ids: readonly string[], most: number): Promise<StoredPair[]> {
    if (ids.length === 0) return [];
    const rows = await tx.query<{ pair: StoredPair }[]>(
      `${PAIR} where p.tenant_id = $1 and (p.exhibit_id = any($2::uuid[]) or p.earlier_id = any($2::uuid[]))
       order by array_position(array['same picture', 'probable', 'check'], p.band), p.distance nulls last, p.found_at, p.id limit $3`,
      [tenant, ids, most],
    );
    return rows.map(({ pair }) => withInstants(pair));
  }

  /** @throws Refused not-found */
  async find(tx: EntityManager, tenant: string, id: string): Promise<StoredPair> {
    const [row] = await tx.query<{ pair: StoredPair }[]>(`${PAIR} where p.tenant_id = $1 and p.id = $2`, [tenant, id]);
    if (!row) throw new Refused('not-found', 'There is no pair of photos with this id.');
    return withInstants(row.pair);
  }

  async addOpinion(tx: EntityManager, tenant: string, pair: StoredPair, opinion: PairOpinion): Promise<void> {
    await tx.query(
      `insert into photo_pair_opinion (tenant_id, visit_id, pair_id, opinion, words, given_at, given_by)
       values ($1, $2, $3, $4, $5, $6, $7)`,
      [
        [tenant, pair.later.visitId, pair.id],
        [opinion.opinion, opinion.words, opinion.givenAt, JSON.stringify(opinion.givenBy)],
      ].flat(),
    );
  }
}

/** PostgreSQL writes instants inside JSON with a numeric offset. */
function withInstants(pair: StoredPair): StoredPair {
  const photo = (each: PhotoOfPair): PhotoOfPair => ({ ...each, receivedAt: instant(each.receivedAt) });
  return {
    ...pair,
    foundAt: instant(pair.foundAt),
    later: photo(pair.later),
    earlier: photo(pair.earlier),
    opinions: pair.opinions.map((each) => ({ ...each, givenAt: instant(each.givenAt) })),
  };
}

function instant(text: string): string {
  return Temporal.Instant.from(text).toString({ smallestUnit: 'millisecond' });
}
