import { mkdir, mkdtemp, rm } from 'node:fs/promises';
import { join } from 'node:path';
import { Injectable, type OnModuleInit } from '@nestjs/common';
import { Clock } from '../../platform/clock.js';
import type { Config } from '../../platform/config/config.js';
import { InjectConfig } from '../../platform/config/inject-config.js';
import { FolderStore } from './folder-store.js';
import { clearLeftOvers } from './left-overs.js';
import type { OriginalStore } from './original-store.js';

/** Where photos lie: originals for good, renditions that can be made again, and scratch for what is being read right now. */
@Injectable()
export class PhotoFolders implements OnModuleInit {
  readonly originals: OriginalStore;
  readonly renditions: OriginalStore;
  private readonly folders: readonly FolderStore[];
  private readonly scratch: string;

  constructor(
    @InjectConfig() config: Config,
    private readonly clock: Clock,
  ) {
    const originals = new FolderStore(join(config.stateDir, 'originals'));
    const renditions = new FolderStore(join(config.stateDir, 'renditions'));
    this.originals = originals;
    this.renditions = renditions;
    this.folders = [originals, renditions];
    this.scratch = join(config.stateDir, 'scratch');
  }

  /** Originals hold people's places: copies that a killed process left behind are cleared away. */
  async onModuleInit(): Promise<void> {
    const now = this.clock.now();
    for (const folder of this.folders) await folder.open(now);
    await mkdir(this.scratch, { recursive: true, mode: 0o700 });
    await clearLeftOvers(this.scratch, now);
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
