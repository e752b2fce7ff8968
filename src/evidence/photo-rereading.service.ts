import { Injectable } from '@nestjs/common';
import type { Actor } from '../access/access.contract.js';
import { demand } from '../access/access.service.js';
import { Database } from '../platform/db/database.js';
import { scopeOf } from '../platform/http/caller.js';
import { Jobs } from '../platform/jobs/jobs.js';
import { READ_PHOTO } from './evidence.contract.js';
import { ExhibitStore } from './store/exhibit.store.js';

/** Has photos read once more that failed, or that nobody has read. */
@Injectable()
export class PhotoRereadingService {
  constructor(
    private readonly db: Database,
    private readonly exhibits: ExhibitStore,
    private readonly jobs: Jobs,
  ) {}

  /** A photo that was read well stays as it is; one that waits already is not read twice. @throws Refused not-found, not-allowed */
  async again(actor: Actor, id: string): Promise<void> {
    await this.db.inTenant(scopeOf(actor), async (tx) => {
      const row = await this.exhibits.find(tx, actor.tenant, id);
      demand(actor, 'exhibit.add', { tenant: actor.tenant, visit: row.visitId });
      if (!(await this.exhibits.reopen(tx, row))) return;
      await this.jobs.enqueue(tx, READ_PHOTO, { tenant: row.tenantId, exhibit: row.id }, { once: `again ${row.id}` });
    });
  }
}
