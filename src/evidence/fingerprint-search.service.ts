import { Injectable, type OnApplicationShutdown } from '@nestjs/common';
import { Database } from '../platform/db/database.js';
import type { Neighbour } from './domain/fingerprint-index.js';
import { USABLE_QUALITY } from './domain/fingerprint.js';
import { ReuseProcess } from './imaging/reuse-process.js';
import { FingerprintStore } from './store/fingerprint.store.js';

/** From so many fingerprints on a tenant is searched in memory; below, plain SQL answers in a fraction of a second. */
export const INDEX_FROM = 20_000;
/** Fingerprints that travel at once: 1.6 MB. */
const RUN = 50_000;

/** What came of a search. */
export interface Search {
  /** False for a picture too flat to be told by, which is not looked for at all. */
  readonly usable: boolean;
  readonly neighbours: readonly Neighbour[];
  /** Fingerprints that were compared. */
  readonly compared: number;
}

/**
 * Searches a tenant's fingerprints. The database is the source of truth: before each search in memory the index reads on from its last
 * number, so it knows every photo that was committed before, and an empty one fills itself.
 */
@Injectable()
export class FingerprintSearchService implements OnApplicationShutdown {
  /** Index filling under way, by tenant: two at once would read the same. */
  private readonly filling = new Map<string, Promise<void>>();

  constructor(
    private readonly db: Database,
    private readonly store: FingerprintStore,
    private readonly process: ReuseProcess,
  ) {}

  async onApplicationShutdown(): Promise<void> {
    await this.process.close();
  }

  /** The same for what is known of a photo: as it is, turned and mirrored, and the picture inside it. */
  async nearPhoto(
    tenant: string,
    exhibitId: string,
    wanted: { readonly limit: number; readonly most: number },
  ): Promise<Search> {
    const asked = await this.db.inTenant({ tenant }, (tx) => this.store.queriesOf(tx, tenant, exhibitId));
    if (!asked || asked.quality < USABLE_QUALITY) return { usable: false, neighbours: [], compared: 0 };
    return this.near(tenant, asked.queries, wanted);
  }

  /**
   * Every fingerprint of the tenant within `limit` bits of one that is asked for, nearest first, at most `most`.
   * @param indexFrom see `INDEX_FROM`
   */
  async near(
    tenant: string,
    queries: readonly Uint8Array[],
    { limit, most }: { readonly limit: number; readonly most: number },
    indexFrom = INDEX_FROM,
  ): Promise<Search> {
    const compared = await this.db.inTenant({ tenant }, (tx) => this.store.count(tx, tenant, indexFrom));
    if (compared < indexFrom) {
      const neighbours = await this.db.inTenant({ tenant }, (tx) =>
        this.store.near(tx, tenant, queries, { limit, most }),
      );
      return { usable: true, neighbours, compared };
    }
    await this.fill(tenant);
    const { fingerprints } = await this.process.ask('standing', { tenant });
    return {
      usable: true,
      neighbours: await this.process.ask('search', { tenant, queries, limit, most }),
      compared: fingerprints,
    };
  }

  private async fill(tenant: string): Promise<void> {
    // Whoever joins a filling under way may need what was committed after it began: it fills once more, which then is short.
    const running = this.filling.get(tenant);
    if (running) await running;
    const started = this.readOn(tenant).finally(() => {
      if (this.filling.get(tenant) === started) this.filling.delete(tenant);
    });
    this.filling.set(tenant, started);
    await started;
  }

  private async readOn(tenant: string): Promise<void> {
    for (;;) {
      const { last } = await this.process.ask('standing', { tenant });
      const { numbers, fingerprints } = await this.db.inTenant({ tenant }, (tx) =>
        this.store.runAfter(tx, tenant, last, RUN),
      );
      if (numbers.length === 0) return;
      await this.process.ask('add', { tenant, numbers, fingerprints: Uint8Array.from(fingerprints) });
      if (numbers.length < RUN) return;
    }
  }
}
