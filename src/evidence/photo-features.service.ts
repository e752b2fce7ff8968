import { createWriteStream } from 'node:fs';
import { join } from 'node:path';
import { pipeline } from 'node:stream/promises';
import { Injectable } from '@nestjs/common';
import { Clock } from '../platform/clock.js';
import { Database } from '../platform/db/database.js';
import { LEAST_FEATURES } from './domain/features-match.js';
import { FEATURE_BYTES } from './domain/features.js';
import { ReuseProcess } from './imaging/reuse-process.js';
import { ComparisonStore } from './store/comparison.store.js';
import type { ExhibitRow } from './store/exhibit.entity.js';
import { ExhibitStore } from './store/exhibit.store.js';
import { PhotoFolders } from './store/photo-folders.js';

/** The rendition that features are taken from. */
const SIZE = 1024;

/** Takes the local features of photos and keeps them for those that are compared later. */
@Injectable()
export class PhotoFeaturesService {
  constructor(
    private readonly db: Database,
    private readonly exhibits: ExhibitStore,
    private readonly comparisons: ComparisonStore,
    private readonly process: ReuseProcess,
    private readonly folders: PhotoFolders,
    private readonly clock: Clock,
  ) {}

  /**
   * The photo's features, kept before others are read: of two photos that are compared at the same time, at least one then sees the
   * other. @returns undefined where there are too few to tell anything by, or no picture to take them from
   */
  async take(row: ExhibitRow): Promise<Uint8Array | undefined> {
    const { tenantId: tenant } = row;
    const renditions = await this.db.inTenant({ tenant }, (tx) => this.exhibits.renditions(tx, tenant, [row.id]));
    const picture = renditions.find(({ size }) => size === SIZE);
    if (!picture || (await this.folders.renditions.size(picture.sha256)) === undefined) return undefined;
    const content = await this.folders.inScratch(async (folder) => {
      const file = join(folder, 'picture');
      await pipeline(this.folders.renditions.get(picture.sha256), createWriteStream(file, { mode: 0o600 }));
      return this.process.ask('features', { file });
    });
    if ((content.length - 4) / FEATURE_BYTES < LEAST_FEATURES) return undefined;
    const at = this.clock.now().toString({ smallestUnit: 'millisecond' });
    await this.db.inTenant({ tenant }, (tx) => this.comparisons.keepFeatures(tx, row, content, at));
    return content;
  }
}
