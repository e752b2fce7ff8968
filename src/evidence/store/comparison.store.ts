import { Injectable } from '@nestjs/common';
import type { EntityManager } from 'typeorm';
import type { ExhibitRow } from './exhibit.entity.js';

/** Another photo that a photo may be a copy of. */
export interface Candidate {
  readonly id: string;
  readonly receivedAt: string;
  readonly sha256: string;
  /** Make, model and instant of capture in one text; null where the camera recorded less. */
  readonly shot: string | null;
}

/** What came of comparing one photo with the others. */
export interface Comparison {
  readonly comparedAt: string;
  /** Fingerprints that it was compared with. */
  readonly fingerprints: number;
  /** Photos that it was compared with feature by feature. */
  readonly closely: number;
  /** Candidates beyond the limit. */
  readonly leftOff: number;
  /** Candidates that have no features to compare. */
  readonly untested: number;
  /** Why it could not be compared, or only in part. */
  readonly says: string | null;
}

const CANDIDATE = `e.id, e.received_at "receivedAt", e.sha256,
  (e.reading->'camera'->>'make') || '|' || (e.reading->'camera'->>'model') || '|' || coalesce(e.reading->'capture'->>'capturedAt',
    e.reading->'capture'->>'capturedAtLocal') shot`;
/** Photos of a visit resemble each other by nature; those that were withdrawn are nobody's evidence. */
const ELSEWHERE = `e.tenant_id = $1 and e.visit_id <> $2 and e.withdrawn_at is null`;

/** Finds what a photo is compared with, and keeps what came of it. Every query names the tenant. */
@Injectable()
export class ComparisonStore {
  async isDone(tx: EntityManager, tenant: string, exhibitId: string): Promise<boolean> {
    const rows = await tx.query<unknown[]>('select 1 from photo_comparison where tenant_id = $1 and exhibit_id = $2', [
      tenant,
      exhibitId,
    ]);
    return rows.length > 0;
  }

  async find(tx: EntityManager, tenant: string, exhibitId: string): Promise<Comparison | undefined> {
    const [row] = await tx.query<(Omit<Comparison, 'comparedAt'> & { comparedAt: Date })[]>(
      `select compared_at "comparedAt", fingerprints::float8 fingerprints, closely, left_off "leftOff", untested, says
       from photo_comparison where tenant_id = $1 and exhibit_id = $2`,
      [tenant, exhibitId],
    );
    return row && { ...row, comparedAt: row.comparedAt.toISOString() };
  }

  async shotOf(tx: EntityManager, row: ExhibitRow): Promise<string | null> {
    const [found] = await tx.query<Candidate[]>(
      `select ${CANDIDATE} from exhibit e where e.tenant_id = $1 and e.id = $2`,
      [row.tenantId, row.id],
    );
    return found?.shot ?? null;
  }

  async ofSameBytes(tx: EntityManager, row: ExhibitRow, most: number): Promise<Candidate[]> {
    return candidates(
      await tx.query(
        `select ${CANDIDATE} from exhibit e where ${ELSEWHERE} and e.sha256 = $3 order by e.received_at limit $4`,
        [row.tenantId, row.visitId, row.sha256, most],
      ),
    );
  }

  /** The photos of other visits behind numbers of fingerprints. */
  async behind(
    tx: EntityManager,
    row: ExhibitRow,
    numbers: readonly number[],
  ): Promise<(Candidate & { readonly no: number; readonly part: 'whole' | 'inside' })[]> {
    if (numbers.length === 0) return [];
    return candidates(
      await tx.query(
        `select ${CANDIDATE}, f.no::float8 no, f.part from exhibit_fingerprint f join exhibit e on e.id = f.exhibit_id
         where ${ELSEWHERE} and f.tenant_id = $1 and f.no = any($3::bigint[])`,
        [row.tenantId, row.visitId, numbers],
      ),
    );
  }

  /**
   * Photos of other visits that a copy would most likely be of: of the same unit, address, crew or retailer, in this order, each the
   * newest first. @param since RFC 3339
   * @returns one more than `most` where there are more
   */
  async scoped(tx: EntityManager, row: ExhibitRow, since: string, most: number): Promise<Candidate[]> {
    return candidates(
      await tx.query(
        `with own as (
           select v.retailer_id, v.address, u.serial,
             (select array_agg(distinct l.crew_name) from visit_link l where l.tenant_id = v.tenant_id and l.visit_id = v.id) crews
           from visit v join inspection i on i.visit_id = v.id and i.id = $3 join visit_unit u on u.id = i.unit_id
           where v.tenant_id = $1 and v.id = $2)
         select ${CANDIDATE} from own, exhibit e
         join visit v on v.tenant_id = e.tenant_id and v.id = e.visit_id
         join inspection i on i.id = e.inspection_id join visit_unit u on u.id = i.unit_id
         where ${ELSEWHERE} and e.state = 'read' and e.received_at >= $4
           and (u.serial = own.serial or v.retailer_id = own.retailer_id or v.address->'lines' = own.address->'lines'
             or exists (select 1 from visit_link l where l.tenant_id = v.tenant_id and l.visit_id = v.id and l.crew_name = any(own.crews)))
         order by u.serial = own.serial desc, v.address->'lines' = own.address->'lines' desc,
           v.retailer_id = own.retailer_id desc, e.received_at desc, e.id limit $5`,
        [row.tenantId, row.visitId, row.inspectionId, since, most + 1],
      ),
    );
  }

  async keepFeatures(tx: EntityManager, row: ExhibitRow, content: Uint8Array, at: string): Promise<void> {
    await tx.query(
      `insert into exhibit_features (exhibit_id, tenant_id, visit_id, content, made_at) values ($1, $2, $3, $4, $5)
       on conflict (exhibit_id) do nothing`,
      [row.id, row.tenantId, row.visitId, Buffer.from(content), at],
    );
  }

  async features(
    tx: EntityManager,
    tenant: string,
    ids: readonly string[],
  ): Promise<{ readonly id: string; readonly content: Buffer }[]> {
    return tx.query(
      'select exhibit_id id, content from exhibit_features where tenant_id = $1 and exhibit_id = any($2::uuid[])',
      [tenant, ids],
    );
  }

  /** Drops features that are older than anything is compared with. @param before RFC 3339 */
  async dropFeatures(tx: EntityManager, tenant: string, before: string): Promise<void> {
    await tx.query('delete from exhibit_features where tenant_id = $1 and made_at < $2', [tenant, before]);
  }

  async keep(tx: EntityManager, row: ExhibitRow, done: Comparison): Promise<void> {
    await tx.query(
      `insert into photo_comparison (exhibit_id, tenant_id, visit_id, compared_at, fingerprints, closely, left_off, untested, says)
       values ($1, $2, $3, $4, $5, $6, $7, $8, $9) on conflict (exhibit_id) do nothing`,
      [
        [row.id, row.tenantId, row.visitId, done.comparedAt],
        [done.fingerprints, done.closely, done.leftOff, done.untested, done.says],
      ].flat(),
    );
  }
}

function candidates<T extends Candidate>(
  rows: readonly (Omit<T, 'receivedAt'> & { readonly receivedAt: Date })[],
): T[] {
  return rows.map((row) => ({ ...row, receivedAt: row.receivedAt.toISOString() }) as unknown as T);
}
