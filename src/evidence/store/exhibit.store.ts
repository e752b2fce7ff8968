import { Injectable } from '@nestjs/common';
import { In, IsNull, type EntityManager } from 'typeorm';
import { Refused } from '../../platform/http/problems.js';
import type { PhotoFingerprint } from '../domain/photo-fingerprint.js';
import type { PhotoReading } from '../evidence.contract.js';
import { ExhibitRenditionRow, ExhibitRow } from './exhibit.entity.js';
import { FingerprintStore } from './fingerprint.store.js';
import { UsageStore } from './usage.store.js';

/** Where the next page of a list begins: behind this exhibit. */
export interface ExhibitPosition {
  readonly receivedAt: string;
  readonly id: string;
}

/** What the reader made of an original. */
export interface ReadOutcome {
  readonly reading: PhotoReading | null;
  /** Sentence for the person who can act; absent when renditions were made. */
  readonly failure?: string;
  /** What the picture looks like, for finding it again. */
  readonly fingerprint?: PhotoFingerprint;
  readonly renditions: readonly Pick<ExhibitRenditionRow, 'size' | 'sha256' | 'width' | 'height' | 'bytes'>[];
}

/** Exhibits in PostgreSQL. Every query names the tenant; row-level security is the second wall. */
@Injectable()
export class ExhibitStore {
  constructor(
    private readonly usage: UsageStore,
    private readonly fingerprints: FingerprintStore,
  ) {}

  /** @throws Refused not-found when the exhibit is missing or not visible; the two look alike. */
  async find(tx: EntityManager, tenant: string, id: string): Promise<ExhibitRow> {
    const row = await this.known(tx, tenant, id);
    if (!row) throw new Refused('not-found', 'There is no photo with this id.');
    return row;
  }

  async known(tx: EntityManager, tenant: string, id: string): Promise<ExhibitRow | null> {
    return tx.findOneBy(ExhibitRow, { tenantId: tenant, id });
  }

  async ofSameBytes(
    tx: EntityManager,
    row: Pick<ExhibitRow, 'tenantId' | 'inspectionId' | 'sha256'>,
  ): Promise<ExhibitRow | null> {
    const { tenantId, inspectionId, sha256 } = row;
    return tx.findOneBy(ExhibitRow, { tenantId, inspectionId, sha256 });
  }

  /**
   * Adds an exhibit unless its id, or its bytes in the same inspection, are there already. @returns whether it was added
   * @throws Refused photo-quota-reached
   */
  async add(tx: EntityManager, row: ExhibitRow): Promise<boolean> {
    await this.usage.begin(tx, row.tenantId);
    const result = await tx
      .createQueryBuilder()
      .insert()
      .into(ExhibitRow)
      .values(row)
      .orIgnore()
      .returning('id')
      .execute();
    if ((result.raw as readonly unknown[]).length === 0) return false;
    await this.usage.add(tx, row.tenantId, row.bytes);
    return true;
  }

  /** @param photo one on its way in @throws Refused photo-quota-reached when it is new and has no room */
  async demandRoom(
    tx: EntityManager,
    tenantId: string,
    photo: { readonly inspectionId: string; readonly sha256?: string },
    bytes: number,
  ): Promise<void> {
    const { inspectionId, sha256 } = photo;
    const known = sha256 !== undefined && (await this.ofSameBytes(tx, { tenantId, inspectionId, sha256 })) !== null;
    if (!known) await this.usage.demandRoom(tx, tenantId, bytes);
  }

  /** Exhibits of an inspection in order of receipt. */
  async page(
    tx: EntityManager,
    tenant: string,
    inspectionId: string,
    after: ExhibitPosition | undefined,
    limit: number,
  ): Promise<readonly ExhibitRow[]> {
    const query = tx
      .createQueryBuilder(ExhibitRow, 'e')
      .where('e.tenant_id = :tenant and e.inspection_id = :inspectionId', { tenant, inspectionId });
    if (after) query.andWhere('(e.received_at, e.id) > (:receivedAt, :id)', after);
    return query.orderBy('e.received_at').addOrderBy('e.id').limit(limit).getMany();
  }

  /** All exhibits of an inspection that count as evidence: not withdrawn, and not so damaged that nothing could be read. */
  async counting(tx: EntityManager, tenant: string, inspectionId: string): Promise<readonly ExhibitRow[]> {
    const rows = await tx.find(ExhibitRow, {
      where: { tenantId: tenant, inspectionId, withdrawnAt: IsNull() },
      order: { receivedAt: 'ASC', id: 'ASC' },
    });
    return rows.filter(({ state, reading }) => state !== 'failed' || reading !== null);
  }

  async renditions(
    tx: EntityManager,
    tenant: string,
    exhibitIds: readonly string[],
  ): Promise<readonly ExhibitRenditionRow[]> {
    if (exhibitIds.length === 0) return [];
    return tx.find(ExhibitRenditionRow, {
      where: { tenantId: tenant, exhibitId: In([...exhibitIds]) },
      order: { exhibitId: 'ASC', size: 'ASC' },
    });
  }

  /** Visits other than the exhibit's own that hold the same bytes. Repeated shots of one visit are no news. */
  async otherVisits(tx: EntityManager, row: ExhibitRow): Promise<number> {
    const [counted] = await tx.query<{ visits: number }[]>(
      `select count(distinct e.visit_id)::integer visits from exhibit e
       where e.tenant_id = $1 and e.sha256 = $2 and e.visit_id <> $3 and e.withdrawn_at is null`,
      [row.tenantId, row.sha256, row.visitId],
    );
    return counted?.visits ?? 0;
  }

  /**
   * Whether a claim rests on the inspection. The claims module lies to the right and speaks only by its rows here: a retailer is
   * shown pictures from a customer's home where it has a claim to answer, not because a crew was there.
   */
  async hasClaim(tx: EntityManager, tenant: string, inspectionId: string): Promise<boolean> {
    const rows = await tx.query<unknown[]>(
      `select 1 from claim c where c.tenant_id = $1 and c.inspection_id = $2 and c.filed_at is not null limit 1`,
      [tenant, inspectionId],
    );
    return rows.length > 0;
  }

  /** Writes what was read, once: a second reader of the same photo changes nothing. */
  async finish(tx: EntityManager, row: ExhibitRow, outcome: ReadOutcome): Promise<void> {
    const { affected } = await tx.update(
      ExhibitRow,
      { tenantId: row.tenantId, id: row.id, state: 'pending' },
      {
        state: outcome.failure === undefined ? 'read' : 'failed',
        failure: outcome.failure ?? null,
        reading: outcome.reading,
      },
    );
    if (affected !== 1) return;
    await this.keepRenditions(tx, row, outcome.renditions);
    if (outcome.fingerprint) await this.fingerprints.add(tx, row, outcome.fingerprint);
  }

  /** Records renditions in place of the ones of the same size, if there are any. */
  async keepRenditions(tx: EntityManager, row: ExhibitRow, renditions: ReadOutcome['renditions']): Promise<void> {
    if (renditions.length === 0) return;
    const { tenantId, visitId, id: exhibitId } = row;
    await tx
      .createQueryBuilder()
      .insert()
      .into(ExhibitRenditionRow)
      .values(renditions.map((made) => ({ ...made, tenantId, visitId, exhibitId, mediaType: 'image/webp' })))
      .orUpdate(['sha256', 'width', 'height', 'bytes'], ['exhibit_id', 'size'])
      .execute();
  }

  /** Has a photo that failed wait to be read again. @returns whether it waits now; false for one that was read */
  async reopen(tx: EntityManager, { tenantId, id, state }: ExhibitRow): Promise<boolean> {
    if (state !== 'failed') return state === 'pending';
    const { affected } = await tx.update(
      ExhibitRow,
      { tenantId, id, state: 'failed' },
      { state: 'pending', failure: null },
    );
    return affected === 1;
  }

  /** @returns whether it was withdrawn now; false when it had been before */
  async withdraw(tx: EntityManager, row: ExhibitRow, by: string, at: string): Promise<boolean> {
    const { affected } = await tx.update(
      ExhibitRow,
      { tenantId: row.tenantId, id: row.id, withdrawnAt: IsNull() },
      { withdrawnAt: at, withdrawnBy: by },
    );
    return affected === 1;
  }
}
