import { mkdir, mkdtemp, rm } from 'node:fs/promises';
import { join } from 'node:path';
import type { Readable } from 'node:stream';
import { Injectable, type OnModuleInit } from '@nestjs/common';
import { Clock } from '../../platform/clock.js';
import type { Config } from '../../platform/config/config.js';
import { InjectConfig } from '../../platform/config/inject-config.js';
import { Refused } from '../../platform/http/problems.js';
import { InjectLog } from '../../platform/telemetry/inject-log.js';
import type { Log } from '../../platform/telemetry/log.js';
import { tooManyBytes } from '../domain/photo-limits.js';
import { FolderStore } from './folder-store.js';
import { clearLeftOvers } from './left-overs.js';
import { ObjectRequests } from './object-requests.js';
import { ObjectStore } from './object-store.js';
import { ContentTooLarge, StoreUnavailable, type Arrived, type Kept, type OriginalStore } from './original-store.js';

/** Where photos lie: originals for good, renditions that can be made again, and scratch for what is being read right now. */
@Injectable()
export class PhotoFolders implements OnModuleInit {
  readonly originals: FolderStore | ObjectStore;
  /** Always local: what is missing is made again. */
  readonly renditions: OriginalStore;
  /** Resumable uploads on their way. */
  readonly uploads: string;
  private readonly folders: readonly (FolderStore | ObjectStore)[];
  private readonly scratch: string;

  constructor(
    @InjectConfig() private readonly config: Config,
    private readonly clock: Clock,
    @InjectLog() private readonly log: Log,
  ) {
    this.originals = originalsOf(config);
    const renditions = new FolderStore(join(config.stateDir, 'renditions'));
    this.renditions = renditions;
    this.folders = [this.originals, renditions];
    this.scratch = join(config.stateDir, 'scratch');
    this.uploads = join(config.stateDir, 'uploads');
  }

  /** Originals hold people's places: copies that a killed process left behind are cleared away. */
  async onModuleInit(): Promise<void> {
    const now = this.clock.now();
    for (const folder of this.folders) await folder.open(now);
    for (const folder of [this.scratch, this.uploads]) await mkdir(folder, { recursive: true, mode: 0o700 });
    await clearLeftOvers(this.scratch, now);
    // A store that is down now may be up in a minute, and photos wait on phones until then: the service starts all the same.
    if (this.originals instanceof ObjectStore) {
      await this.originals.probe().catch((error: unknown) => {
        this.log.error({ err: error }, 'the store of original photos cannot be used');
      });
    }
  }

  /**
   * Takes an original in. @param accept judges it before it is kept
   * @throws Refused photo-too-large, or unavailable where the store is; whatever the stream or `accept` throws
   */
  async takeIn(content: Readable, accept: (arrived: Arrived) => Promise<void>): Promise<Kept> {
    const { uploadBytes } = this.config.limits;
    try {
      return await this.originals.put(content, { maxBytes: uploadBytes, accept });
    } catch (error) {
      if (error instanceof ContentTooLarge) throw new Refused('photo-too-large', tooManyBytes(uploadBytes));
      if (!(error instanceof StoreUnavailable)) throw error;
      this.log.error({ err: error }, 'a photo could not be stored');
      const detail = 'The store of photos does not answer. Keep the photo and send it again in a moment.';
      throw new Refused('unavailable', detail, { retryAfterSeconds: 10 });
    }
  }

  /** Gives work a folder of its own, which is gone afterwards. */
  async inScratch<T>(work: (folder: string) => Promise<T>): Promise<T> {
    const folder = await mkdtemp(join(this.scratch, 'photo-'));
    try {
      return await work(folder);
    } finally {
      await rm(folder, { recursive: true, force: true });
    }
  }
}

/** Where originals lie by the settings: in the state folder, or in an object store. */
export function originalsOf(config: Config): FolderStore | ObjectStore {
  const { objectStore } = config.photos;
  if (!objectStore) return new FolderStore(join(config.stateDir, 'originals'));
  return new ObjectStore(new ObjectRequests(objectStore), join(config.stateDir, 'arriving'));
}
