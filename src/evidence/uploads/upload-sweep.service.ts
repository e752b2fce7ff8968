import { Injectable } from '@nestjs/common';
import { Clock } from '../../platform/clock.js';
import { Database } from '../../platform/db/database.js';
import { InjectLog } from '../../platform/telemetry/inject-log.js';
import type { Log } from '../../platform/telemetry/log.js';
import { UploadStore, type UploadRow } from '../store/upload.store.js';
import { UploadFiles } from './upload-files.js';
import { hasExpired, UploadsService } from './uploads.service.js';

/** Files without a row are removed after this long; a row is written before its file. */
const ABANDONED_MS = 3_600_000;

/** Looks after uploads whose process ended in between, and after those that expired. */
@Injectable()
export class UploadSweepService {
  constructor(
    private readonly db: Database,
    private readonly store: UploadStore,
    private readonly uploads: UploadsService,
    private readonly files: UploadFiles,
    private readonly clock: Clock,
    @InjectLog() private readonly log: Log,
  ) {}

  /** Takes in what is complete and was not taken in yet, and clears away what has expired. Several processes may do it at once. */
  async sweep(): Promise<void> {
    for await (const { tenantId, id } of this.files.all()) {
      const row = await this.db.inTenant({ tenant: tenantId }, (tx) => this.store.find(tx, tenantId, id));
      const found = await this.files.facts({ tenantId, id });
      if (row) await this.lookAt(row, found?.bytes ?? 0);
      else if (found && this.clock.now().epochMilliseconds - found.changedMs > ABANDONED_MS) {
        await this.files.remove({ tenantId, id });
      }
    }
  }

  private async lookAt(row: UploadRow, bytes: number): Promise<void> {
    if (bytes === row.bytes && row.exhibitId === null && row.refusal === null) {
      await this.uploads.commit(row).catch((error: unknown) => {
        this.log.warn({ err: error, upload: row.id }, 'a complete upload could not be taken in');
      });
    }
    if (hasExpired(row, this.clock.now())) await this.uploads.end(row);
  }
}
