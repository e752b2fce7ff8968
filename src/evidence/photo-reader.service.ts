import { createReadStream, createWriteStream } from 'node:fs';
import { join } from 'node:path';
import { pipeline } from 'node:stream/promises';
import { Injectable, type OnApplicationShutdown } from '@nestjs/common';
import type { Config } from '../platform/config/config.js';
import { InjectConfig } from '../platform/config/inject-config.js';
import { Database } from '../platform/db/database.js';
import { photoReading } from './domain/photo-reading.js';
import { RENDITION_SIZES } from './evidence.contract.js';
import type { ReadResult, RenditionFile } from './imaging/reader-messages.js';
import { ReaderPool } from './imaging/reader-pool.js';
import type { ExhibitRow } from './store/exhibit.entity.js';
import { ExhibitStore, type ReadOutcome } from './store/exhibit.store.js';
import { PhotoFolders } from './store/photo-folders.js';

/** A rendition is far smaller than an original; this only bounds the disk. */
const MAX_RENDITION_BYTES = 20 * 1024 * 1024;

/** Reads originals in the pool of reader processes and stores what came out. */
@Injectable()
export class PhotoReaderService implements OnApplicationShutdown {
  constructor(
    private readonly db: Database,
    private readonly exhibits: ExhibitStore,
    private readonly pool: ReaderPool,
    private readonly folders: PhotoFolders,
    @InjectConfig() private readonly config: Config,
  ) {}

  async onApplicationShutdown(): Promise<void> {
    await this.pool.close();
  }

  /**
   * Reads one photo, unless that was done before. A photo that cannot be read ends as `failed` with a sentence; only an outage throws,
   * so that the job runs again.
   */
  async read(tenant: string, exhibitId: string): Promise<void> {
    const { row, seenOn } = await this.db.inTenant({ tenant }, async (tx) => {
      const found = await this.exhibits.find(tx, tenant, exhibitId);
      return { row: found, seenOn: await this.exhibits.otherVisits(tx, found) };
    });
    if (row.state !== 'pending') return;
    const outcome = await this.folders.inScratch(async (folder) => {
      const file = join(folder, 'original');
      await pipeline(this.folders.originals.get(row.sha256), createWriteStream(file, { mode: 0o600 }));
      const order = {
        file,
        mediaType: row.mediaType,
        into: folder,
        sizes: RENDITION_SIZES,
        heic: this.config.photos.heic,
      };
      return this.outcomeOf(row, seenOn, await this.readTwice(order));
    });
    await this.db.inTenant({ tenant }, (tx) => this.exhibits.finish(tx, row, outcome));
  }

  /** A reader may die for want of memory while another photo ran beside it; a second death is the photo's own doing. */
  private async readTwice(order: Parameters<ReaderPool['read']>[0]): Promise<ReadResult> {
    const first = await this.pool.read(order);
    return !first.ok && first.failure === 'reader died' ? this.pool.read(order) : first;
  }

  private async outcomeOf(row: ExhibitRow, seenOn: number, result: ReadResult): Promise<ReadOutcome> {
    const { receivedAt, mediaType, receivedBy } = row;
    const declared = receivedBy.declaredType === undefined ? {} : { declaredType: receivedBy.declaredType };
    const reading = result.reading
      ? photoReading(result.reading, { receivedAt, mediaType, seenOn, ...declared })
      : null;
    if (!result.ok) return { reading, failure: result.detail, renditions: [] };
    return { reading, renditions: await Promise.all(result.renditions.map((made) => this.store(made))) };
  }

  private async store({ file, ...size }: RenditionFile): Promise<ReadOutcome['renditions'][number]> {
    const kept = await this.folders.renditions.put(createReadStream(file), { maxBytes: MAX_RENDITION_BYTES });
    return { ...size, ...kept };
  }
}
