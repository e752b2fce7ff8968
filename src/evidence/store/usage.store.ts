import { Injectable } from '@nestjs/common';
import type { EntityManager } from 'typeorm';
import type { Config } from '../../platform/config/config.js';
import { InjectConfig } from '../../platform/config/inject-config.js';
import { Database } from '../../platform/db/database.js';
import { Refused } from '../../platform/http/problems.js';

/** What a tenant keeps, and how much it may. */
export interface Usage {
  readonly photos: number;
  readonly bytes: number;
  readonly maxPhotos: number;
  readonly maxBytes: number;
}

/** Counts photos and bytes by tenant. Withdrawn photos count, because their originals stay; so does each of several equal ones. */
@Injectable()
export class UsageStore {
  constructor(
    private readonly db: Database,
    @InjectConfig() private readonly config: Config,
  ) {}

  async of(tx: EntityManager, tenant: string): Promise<Usage> {
    await this.begin(tx, tenant);
    const { photos, bytes } = this.config.photos.quota;
    const [row] = await tx.query<Usage[]>(
      `select photos::float8 photos, bytes::float8 bytes, coalesce(max_photos, $2)::float8 "maxPhotos",
         coalesce(max_bytes, $3)::float8 "maxBytes" from exhibit_usage where tenant_id = $1`,
      [tenant, photos, bytes],
    );
    if (!row) throw new Error('a tenant without a count of its photos');
    return row;
  }

  /** @throws Refused photo-quota-reached when a photo of that size has no room; asked early, before its bytes are sent */
  async demandRoom(tx: EntityManager, tenant: string, bytes: number): Promise<void> {
    const usage = await this.of(tx, tenant);
    if (usage.photos + 1 > usage.maxPhotos || usage.bytes + bytes > usage.maxBytes) throw noRoom(usage);
  }

  /**
   * Counts one photo more, in the transaction that adds it. Call `begin` before the photo is added.
   * @throws Refused photo-quota-reached
   */
  async add(tx: EntityManager, tenant: string, bytes: number): Promise<void> {
    const { quota } = this.config.photos;
    const run = tx.queryRunner;
    if (!run) throw new Error('counting a photo needs an open transaction');
    const { affected } = await run.query(
      `update exhibit_usage set photos = photos + 1, bytes = bytes + $2
       where tenant_id = $1 and photos + 1 <= coalesce(max_photos, $3) and bytes + $2 <= coalesce(max_bytes, $4)`,
      [tenant, bytes, quota.photos, quota.bytes],
      true,
    );
    if (affected !== 1) throw noRoom(await this.of(tx, tenant));
  }

  /** Starts the count of a tenant that has none, with what is there already. A crew sees only its visit, so the view is widened for it. */
  async begin(tx: EntityManager, tenant: string): Promise<void> {
    const [row] = await tx.query<unknown[]>('select 1 from exhibit_usage where tenant_id = $1', [tenant]);
    if (row) return;
    await this.db.widened(tx, (wide) =>
      wide.query(
        `insert into exhibit_usage (tenant_id, photos, bytes)
         select $1::uuid, count(*), coalesce(sum(bytes), 0) from exhibit where tenant_id = $1
         on conflict (tenant_id) do nothing`,
        [tenant],
      ),
    );
  }
}

function noRoom({ photos, bytes, maxPhotos, maxBytes }: Usage): Refused {
  const gib = (count: number) => (count / 1024 ** 3).toFixed(1);
  return new Refused(
    'photo-quota-reached',
    `The house keeps ${photos} of ${maxPhotos} photos and ${gib(bytes)} of ${gib(maxBytes)} GiB. Keep the photo on the ` +
      'phone, and ask the office to have the limit raised; then send it again.',
    { retryAfterSeconds: 3600 },
  );
}
