import { Injectable } from '@nestjs/common';
import { Database } from '../platform/db/database.js';
import { likelyCopies } from './domain/likely-copies.js';
import { PhotoLikenessService } from './photo-likeness.service.js';
import { ComparisonStore } from './store/comparison.store.js';
import { ExhibitStore } from './store/exhibit.store.js';
import { PhotoPairStore } from './store/photo-pair.store.js';

/** Looks for each photo among those of other visits of the same tenant, once. Finds pairs for people to look at; decides nothing. */
@Injectable()
export class PhotoReuseService {
  constructor(
    private readonly db: Database,
    private readonly exhibits: ExhibitStore,
    private readonly comparisons: ComparisonStore,
    private readonly likeness: PhotoLikenessService,
    private readonly pairs: PhotoPairStore,
  ) {}

  /** Compares one photo unless that was done. Repeating is safe. @throws Error in an outage, so that the job runs again */
  async compare(tenant: string, exhibitId: string): Promise<void> {
    const { row, done } = await this.db.inTenant({ tenant }, async (tx) => ({
      row: await this.exhibits.find(tx, tenant, exhibitId),
      done: await this.comparisons.isDone(tx, tenant, exhibitId),
    }));
    if (done || row.state !== 'read' || row.withdrawnAt !== null) return;
    const { known, comparison } = await this.likeness.of(row);
    await this.db.inTenant({ tenant }, async (tx) => {
      const shot = await this.comparisons.shotOf(tx, row);
      for (const { later, pair } of likelyCopies(row, shot, known)) {
        const laterRow = later === row.id ? row : await this.exhibits.find(tx, tenant, later);
        await this.pairs.add(tx, laterRow, pair, comparison.comparedAt);
      }
      await this.comparisons.keep(tx, row, comparison);
      await this.comparisons.dropFeatures(tx, tenant, this.likeness.closelySince());
    });
  }
}
