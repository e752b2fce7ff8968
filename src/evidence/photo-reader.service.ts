import { createReadStream, createWriteStream } from 'node:fs';
import { availableParallelism } from 'node:os';
import { join } from 'node:path';
import { pipeline } from 'node:stream/promises';
import { setTimeout as pause } from 'node:timers/promises';
import { Injectable, type OnApplicationShutdown } from '@nestjs/common';
import type { Config } from '../platform/config/config.js';
import { InjectConfig } from '../platform/config/inject-config.js';
import { Database } from '../platform/db/database.js';
import type { Circumstances } from './domain/doubts.js';
import { isLabelShot } from './domain/labels.js';
import { photoReading } from './domain/photo-reading.js';
import { RENDITION_SIZES } from './evidence.contract.js';
import type { Fellow, ReadResult, RenditionFile } from './imaging/reader-messages.js';
import { ReaderPool } from './imaging/reader-pool.js';
import { PhotoCircumstances, type FellowPhoto } from './photo-circumstances.js';
import type { ExhibitRow } from './store/exhibit.entity.js';
import { ExhibitStore, type ReadOutcome } from './store/exhibit.store.js';
import { PhotoFolders } from './store/photo-folders.js';

/** A rendition is far smaller than an original; this only bounds the disk. */
const MAX_RENDITION_BYTES = 20 * 1024 * 1024;

type Rendition = ReadOutcome['renditions'][number];

/** What is told of a photo whose original has gone from the store. */
const ORIGINAL_LOST: ReadOutcome = {
  reading: null,
  failure:
    'The original of this photo is not in the store any more. Tell whoever runs the service, and send the photo again.',
  renditions: [],
};

/** Reads originals in the pool of reader processes and stores what came out. */
@Injectable()
export class PhotoReaderService implements OnApplicationShutdown {
  /** Readings under way in this process, by exhibit. */
  private readonly running = new Map<string, Promise<void>>();
  /** Renditions that are being made again, by exhibit. */
  private readonly remaking = new Map<string, Promise<readonly Rendition[]>>();

  constructor(
    private readonly db: Database,
    private readonly exhibits: ExhibitStore,
    private readonly circumstances: PhotoCircumstances,
    private readonly pool: ReaderPool,
    private readonly folders: PhotoFolders,
    @InjectConfig() private readonly config: Config,
  ) {}

  async onApplicationShutdown(): Promise<void> {
    await this.pool.close();
  }

  /**
   * Reads one photo, unless that was done before or is being done. A photo that cannot be read ends as `failed` with a sentence; only
   * an outage throws, so that the job runs again.
   */
  read(tenant: string, exhibitId: string): Promise<void> {
    const running = this.running.get(exhibitId);
    if (running) return running;
    const started = this.readOne(tenant, exhibitId).finally(() => this.running.delete(exhibitId));
    this.running.set(exhibitId, started);
    return started;
  }

  /**
   * Reads a photo that has just arrived while its sender waits, so that advice reaches the crew with the receipt. Gives up waiting after
   * the time that the settings allow, or at once where others wait already or this process leaves jobs to another; the job of the
   * photo does the rest.
   * @returns the row as it is then
   */
  async readForReceipt(row: ExhibitRow): Promise<ExhibitRow> {
    const waitMs = this.config.photos.receiptSeconds * 1000;
    if (row.state !== 'pending' || this.config.runs === 'api' || waitMs === 0) return row;
    if (this.running.size >= availableParallelism() * 2) return row;
    const giveUp = new AbortController();
    // An outage is the job's to report; the receipt of a photo that is safe does not fail for it.
    const read = this.read(row.tenantId, row.id).catch(() => undefined);
    await Promise.race([read, pause(waitMs, undefined, { signal: giveUp.signal }).catch(() => undefined)]);
    giveUp.abort();
    return this.db.inTenant({ tenant: row.tenantId }, (tx) => this.exhibits.find(tx, row.tenantId, row.id));
  }

  private async readOne(tenant: string, exhibitId: string): Promise<void> {
    const { row, known, fellow } = await this.db.inTenant({ tenant }, async (tx) => {
      const found = await this.exhibits.find(tx, tenant, exhibitId);
      const known = await this.circumstances.of(tx, found);
      return { row: found, known, fellow: await this.circumstances.fellowOf(tx, found) };
    });
    if (row.state !== 'pending') return;
    const outcome = await this.fromOriginal(row, (result) => this.outcomeOf(known, result), fellow);
    await this.db.inTenant({ tenant }, (tx) => this.exhibits.finish(tx, row, outcome ?? ORIGINAL_LOST));
  }

  /** Makes the renditions of a photo again and records them. @returns none where that cannot be done any more */
  remake(row: ExhibitRow): Promise<readonly Rendition[]> {
    const running = this.remaking.get(row.id);
    if (running) return running;
    const started = this.remakeOne(row).finally(() => this.remaking.delete(row.id));
    this.remaking.set(row.id, started);
    return started;
  }

  private async remakeOne(row: ExhibitRow): Promise<readonly Rendition[]> {
    const { tenantId: tenant } = row;
    const made = await this.fromOriginal(row, async (result) => (result.ok ? this.storeAll(result.renditions) : []));
    if (!made || made.length === 0) return [];
    await this.db.inTenant({ tenant }, (tx) => this.exhibits.keepRenditions(tx, row, made));
    return made;
  }

  /** Reads the original in a folder of its own, which lasts as long as `use` does. @returns undefined when it is not there any more */
  private async fromOriginal<T>(
    row: ExhibitRow,
    use: (result: ReadResult) => Promise<T>,
    fellow?: FellowPhoto,
  ): Promise<T | undefined> {
    if ((await this.folders.originals.size(row.sha256)) === undefined) return undefined;
    return this.folders.inScratch(async (folder) => {
      const file = join(folder, 'original');
      await pipeline(this.folders.originals.get(row.sha256), createWriteStream(file, { mode: 0o600 }));
      const { heic } = this.config.photos;
      const order = {
        file,
        mediaType: row.mediaType,
        into: folder,
        sizes: RENDITION_SIZES,
        heic,
        ...(isLabelShot(row) ? { labels: 'search' as const } : {}),
      };
      const beside = fellow && (await this.copyOf(fellow, join(folder, 'fellow')));
      return use(await this.readTwice({ ...order, ...(beside ? { fellow: beside } : {}) }));
    });
  }

  /** The other photo of a pair. It only helps with advice: where it is gone, the reading goes on without it. */
  private async copyOf({ sha256, is }: FellowPhoto, file: string): Promise<Fellow | undefined> {
    try {
      await pipeline(this.folders.renditions.get(sha256), createWriteStream(file, { mode: 0o600 }));
      return { file, is };
    } catch {
      return undefined;
    }
  }

  /** A reader may die for want of memory while another photo ran beside it; a second death is the photo's own doing. */
  private async readTwice(order: Parameters<ReaderPool['read']>[0]): Promise<ReadResult> {
    const first = await this.pool.read(order);
    return !first.ok && first.failure === 'reader died' ? this.pool.read(order) : first;
  }

  private async outcomeOf(known: Circumstances, result: ReadResult): Promise<ReadOutcome> {
    const reading = result.reading ? photoReading(result.reading, known) : null;
    if (!result.ok) return { reading, failure: result.detail, renditions: [] };
    const { fingerprint } = result.reading;
    return { reading, renditions: await this.storeAll(result.renditions), ...(fingerprint ? { fingerprint } : {}) };
  }

  private storeAll(files: readonly RenditionFile[]): Promise<readonly Rendition[]> {
    return Promise.all(files.map((made) => this.store(made)));
  }

  private async store({ file, ...size }: RenditionFile): Promise<Rendition> {
    const kept = await this.folders.renditions.put(createReadStream(file), { maxBytes: MAX_RENDITION_BYTES });
    return { ...size, ...kept };
  }
}
