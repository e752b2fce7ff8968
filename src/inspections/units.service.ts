import { Injectable } from '@nestjs/common';
import type { Actor } from '../access/access.contract.js';
import { Database } from '../platform/db/database.js';
import { scopeOf } from '../platform/http/caller.js';
import { pageOf, pageSize, readCursor, type Page, type PageQuery } from '../platform/http/pages.js';
import { UnitReadModel, type UnitFilter, type UnitLine } from './store/unit.read-model.js';

/** Units that visits bring. A unit that comes back on a second visit is listed with each. */
@Injectable()
export class UnitsService {
  constructor(
    private readonly db: Database,
    private readonly reading: UnitReadModel,
  ) {}

  /** One page of units, the newest visit first; a retailer is shown its own. @throws Refused `cursor-invalid` */
  async list(actor: Actor, filter: UnitFilter, query: PageQuery): Promise<Page<UnitLine>> {
    const size = pageSize(query);
    const key = readCursor(query, 'iu');
    const after = key && { windowFrom: String(key[0]), id: String(key[1]) };
    const units = await this.db.inTenant(scopeOf(actor), (tx) =>
      this.reading.page(tx, actor.tenant, filter, after, size + 1),
    );
    return pageOf(
      units,
      size,
      (unit) => [unit.windowFrom, unit.id],
      (unit) => unit,
    );
  }
}
