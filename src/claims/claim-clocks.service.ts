import { Injectable } from '@nestjs/common';
import type { Actor } from '../access/access.contract.js';
import { Clock } from '../platform/clock.js';
import { Database } from '../platform/db/database.js';
import { scopeOf } from '../platform/http/caller.js';
import { pageOf, pageSize, readCursor, type Page, type PageQuery } from '../platform/http/pages.js';
import { isoInstant } from './domain/iso-instant.js';
import type { ClaimClockRow } from './store/claim-clock.entity.js';
import { ClaimClockStore } from './store/claim-clock.store.js';
import { ClaimStore } from './store/claim.store.js';
import { DueListReadModel, type DueLine } from './store/due-list.read-model.js';

/** Clocks as people meet them: the due list, and a claim's clocks. */
@Injectable()
export class ClaimClocksService {
  constructor(
    private readonly db: Database,
    private readonly store: ClaimStore,
    private readonly clocks: ClaimClockStore,
    private readonly list: DueListReadModel,
    private readonly clock: Clock,
  ) {}

  /** A page of what is due within so many days and of what was missed. Retailers see what they owe on their own claims. */
  due(
    actor: Actor,
    wish: { readonly days: number; readonly owedBy?: string },
    query: PageQuery,
  ): Promise<Page<DueLine>> {
    const size = pageSize(query);
    const after = readCursor(query, 'iu');
    const before = isoInstant(this.clock.now().add({ hours: wish.days * 24 }));
    const owedBy = actor.retailer === undefined ? wish.owedBy : 'seller';
    if (owedBy !== wish.owedBy && wish.owedBy !== undefined) return Promise.resolve({ items: [] });
    return this.db.inTenant(scopeOf(actor), async (tx) => {
      const filter = { before, ...(owedBy === undefined ? {} : { owedBy }) };
      const lines = await this.list.page(tx, actor.tenant, filter, after, size);
      return pageOf(
        lines,
        size,
        (line) => [line.endsAt, line.id],
        (line) => line,
      );
    });
  }

  /** Every clock of a claim. Retailers see what they owe themselves. @throws Refused not-found */
  ofClaim(actor: Actor, claimId: string): Promise<ClaimClockRow[]> {
    return this.db.inTenant(scopeOf(actor), async (tx) => {
      await this.store.find(tx, actor.tenant, claimId);
      const rows = await this.clocks.of(tx, { tenantId: actor.tenant, claimId });
      return actor.retailer === undefined ? rows : rows.filter(({ owedBy }) => owedBy === 'seller');
    });
  }
}
